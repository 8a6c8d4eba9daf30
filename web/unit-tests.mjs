// Bundles src/**/*.test.ts for Node and runs them with its own test runner.

import { spawnSync } from 'node:child_process';
import { readdirSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const web = fileURLToPath(new URL('.', import.meta.url));
const output = join(web, '../target/web-tests');
const tests = readdirSync(join(web, 'src'), { recursive: true })
  .filter((path) => path.endsWith('.test.ts'))
  .map((path) => join(web, 'src', path));

rmSync(output, { recursive: true, force: true });
await build({
  entryPoints: tests,
  outdir: output,
  outbase: join(web, 'src'),
  outExtension: { '.js': '.mjs' },
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  sourcemap: 'inline',
  define: { FAIRPEN_HOME: '"site"', FAIRPEN_DEVELOPMENT: 'true' },
  logLevel: 'warning',
});
const bundled = tests.map((path) => join(output, relative(join(web, 'src'), path).replace(/\.ts$/, '.mjs')));
const { status } = spawnSync(process.execPath, ['--enable-source-maps', '--test', ...bundled], { stdio: 'inherit' });
process.exit(status ?? 1);
