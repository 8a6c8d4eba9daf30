// Builds web/dist. `cargo xtask build` and `cargo xtask serve` call it after the core is compiled.
//
//   node build.mjs [--release]     --release minifies and lets the service worker answer from its cache first
//
// THE CONTRACT
//
// In: src/engine/generated/core.js, core_bg.wasm, and the same of results and spreadsheet (from xtask), ../sample-books/** (if there), and the
// entry points
//   src/main.ts                    the page
//   src/engine/book-worker.ts      } classic workers; a page takes their source text with
//   src/engine/analysis-worker.ts  }   import source from 'worker:engine/book-worker.ts'
//   src/engine/spreadsheet-worker.ts }
//   src/viewer/main.ts             the results file's own page
//   src/service-worker.ts          offline use of the site
// A style sheet imported by an entry (`import './page.css'`) is linked on the site and inlined elsewhere.
//
// Out, three homes for the same code (FAIRPEN_HOME says which):
//   site           index.html, scripts, core-HASH.wasm, service-worker.js ... every address is relative, so
//                  any folder of any static host will do
//   one-file       fairpen.html, the whole program; opens from disk
//   results-file   results-template.html; the `fairpen` command fills its slots
//
// Payloads: what is not script (the core, samples, the results shell) is named once and read everywhere with
// `payload(name)` from src/embed/payload.ts. The name sits in an inert <script data-payload>. On the site that
// element points to a file; in the two files it holds gzip + base64, as `fetch` is not allowed from disk.
//   core.wasm             the core, compiled once per page by src/embed/core-module.ts. A worker gets the
//                         compiled module in its first message and calls `initSync({ module })`; it never
//                         looks for bytes itself, so it is the same in all homes
//   results.wasm          the engine of the results file, in results files only
//   spreadsheet.wasm      reads XLSX, XLS and ODS files; asked for when the first such file comes in
//   results-template.html the whole template, with that engine in it (not in the results file)
//   sample-books/PATH     each CSV file of the sample books, by its path (not in the results file)
//
// Slots of results-template.html, each there exactly once: <!--fairpen:title--> (plain text, escaped),
// <!--fairpen:body--> (markup read with scripts off too), <!--fairpen:payloads--> (any number of payload
// elements; data-encoding is "gzip+base64", or "json" with every "<" written as \u003c).

import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { build } from 'esbuild';

const release = process.argv.includes('--release');
const web = fileURLToPath(new URL('.', import.meta.url));
const dist = join(web, 'dist');
const source = (path) => join(web, 'src', path);
const hash = (bytes) => createHash('sha256').update(bytes).digest('hex').slice(0, 10);

const common = {
  bundle: true,
  write: false,
  minify: release,
  charset: 'utf8',
  legalComments: 'none',
  target: ['chrome111', 'firefox114', 'safari16.4'],
  logLevel: 'warning',
  absWorkingDir: web,
};

/** Values the scripts are built with; see src/ambient.d.ts. */
const defines = (home, more = {}) => ({
  FAIRPEN_HOME: JSON.stringify(home),
  FAIRPEN_DEVELOPMENT: String(!release),
  ...more,
});

/** One script without imports, and the style sheet beside it if there is one. */
async function classic(entry, home, more) {
  const result = await build({
    ...common,
    entryPoints: [source(entry)],
    outdir: dist,
    format: 'iife',
    plugins: [workers(home)],
    // The bindings would look for the core beside themselves; they are always handed a module instead.
    define: { 'import.meta.url': '""', ...defines(home, more) },
  });
  const text = (end) => result.outputFiles.find((file) => file.path.endsWith(end))?.text ?? '';
  return { script: text('.js'), style: text('.css') };
}

/** Resolves `worker:PATH` to the text of the worker bundled from src/PATH. */
function workers(home) {
  return {
    name: 'workers',
    setup(setup) {
      setup.onResolve({ filter: /^worker:/ }, ({ path }) => ({ path: path.slice(7), namespace: 'worker' }));
      setup.onLoad({ filter: /.*/, namespace: 'worker' }, async ({ path }) => ({
        contents: (await classic(path, home)).script,
        loader: 'text',
      }));
    },
  };
}

function files(folder) {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort();
}

const written = new Map();
function write(path, content) {
  const bytes = Buffer.from(content);
  mkdirSync(join(dist, path, '..'), { recursive: true });
  writeFileSync(join(dist, path), bytes);
  written.set(path, bytes);
}

function page(template, parts) {
  return readFileSync(join(web, template), 'utf8').replace(/\{\{([a-z]+)\}\}/g, (whole, slot) => {
    if (parts[slot] === undefined) throw new Error(`${template} asks for ${whole}, which the build does not have`);
    return parts[slot];
  });
}

const linked = (name, href) => `<script type="text/plain" data-payload="${name}" data-href="${href}"></script>`;
const embedded = (name, bytes) =>
  `<script type="text/plain" data-payload="${name}" data-encoding="gzip+base64">` +
  `${gzipSync(bytes, { level: 9 }).toString('base64')}</script>`;

/** A page that opens from disk: nothing is asked of any host, and only the one script written here may run. */
function alone(template, { script, style }, payloads) {
  // Inside a string these two read the same with a backslash, and no longer as markup.
  script = script.replace(/<\/(?=script)/gi, '<\\/').replace(/<!--/g, '<\\!--');
  if (/<\/script|<!--/i.test(script)) throw new Error(`the script for ${template} would end its own element`);
  const digest = createHash('sha256').update(script).digest('base64');
  const policy =
    `default-src 'none'; script-src 'sha256-${digest}' 'wasm-unsafe-eval'; style-src 'unsafe-inline'; ` +
    "img-src data: blob:; worker-src blob:; base-uri 'none'; form-action 'none'";
  const icon = `data:image/svg+xml;base64,${readFileSync(join(web, 'icon.svg')).toString('base64')}`;
  return page(template, {
    policy,
    head: `<link rel="icon" href="${icon}" />${style === '' ? '' : `\n    <style>${style}</style>`}`,
    payloads,
    script: `<script>${script}</script>`,
  });
}

rmSync(dist, { recursive: true, force: true });
const core = readFileSync(source('engine/generated/core_bg.wasm'));
const spreadsheets = readFileSync(source('engine/generated/spreadsheet_bg.wasm'));

// The results file's template, for the command line and for the page.
const reader = readFileSync(source('engine/generated/results_bg.wasm'));
const template = alone('results.html', await classic('viewer/main.ts', 'results-file'), embedded('results.wasm', reader));
write('results-template.html', template);
const payloads = new Map([
  ['core.wasm', core],
  ['spreadsheet.wasm', spreadsheets],
  ['results-template.html', Buffer.from(template)],
]);
for (const path of files(join(web, '../sample-books'))) {
  if (!path.endsWith('.csv')) continue; // what is about the books, not of them
  payloads.set(`sample-books/${path}`, readFileSync(join(web, '../sample-books', path)));
}

// The whole program in one file.
const allPayloads = [...payloads].map(([name, bytes]) => embedded(name, bytes)).join('\n');
write('fairpen.html', alone('index.html', await classic('main.ts', 'one-file'), allPayloads));
const notKept = new Set(written.keys());

// The site.
const links = [...payloads].map(([name, bytes]) => {
  const dot = name.lastIndexOf('.');
  const href = dot < 0 ? `${name}-${hash(bytes)}` : `${name.slice(0, dot)}-${hash(bytes)}${name.slice(dot)}`;
  write(href, bytes);
  return linked(name, href);
});
const site = await build({
  ...common,
  entryPoints: [source('main.ts')],
  outdir: dist,
  format: 'esm',
  splitting: true,
  entryNames: '[name]-[hash]',
  chunkNames: 'part-[hash]',
  plugins: [workers('site')],
  define: defines('site'),
});
for (const file of site.outputFiles) write(relative(dist, file.path).split(sep).join('/'), file.contents);
const named = (pattern) => [...written.keys()].find((path) => pattern.test(path));
const style = named(/^main-\w+\.css$/);
write('icon.svg', readFileSync(join(web, 'icon.svg')));
write('manifest.webmanifest', readFileSync(join(web, 'manifest.webmanifest')));
write(
  'index.html',
  page('index.html', {
    policy:
      "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; " +
      "connect-src 'self'; img-src 'self' data: blob:; worker-src 'self' blob:; manifest-src 'self'; " +
      "base-uri 'none'; form-action 'none'",
    head: [
      '<link rel="icon" href="icon.svg" />',
      '<link rel="manifest" href="manifest.webmanifest" />',
      `<link rel="preload" as="fetch" crossorigin href="${named(/^core-\w+\.wasm$/)}" />`,
      ...(style === undefined ? [] : [`<link rel="stylesheet" href="${style}" />`]),
    ].join('\n    '),
    payloads: links.join('\n    '),
    script: `<script type="module" src="${named(/^main-\w+\.js$/)}"></script>`,
  }),
);
const kept = [...written.keys()].filter((path) => !notKept.has(path) && path !== 'index.html').sort();
const build_ = hash([...written].map(([path, bytes]) => `${path} ${hash(bytes)}`).sort().join('\n'));
const offline = await classic('service-worker.ts', 'site', {
  FAIRPEN_PRECACHE: JSON.stringify(['./', ...kept]),
  FAIRPEN_BUILD: JSON.stringify(build_),
});
write('service-worker.js', offline.script);

// What a visitor downloads.
const show = (count) => count.toLocaleString('en-US').padStart(12);
console.log(`${'bytes'.padStart(12)}${'gzipped'.padStart(12)}  web/dist`);
for (const [path, bytes] of [...written].sort(([a], [b]) => (a < b ? -1 : 1))) {
  console.log(`${show(bytes.length)}${show(gzipSync(bytes).length)}  ${path}`);
}

// A quick core is not what anybody downloads; only a release is held to the limits.
if (release) {
  const limits = JSON.parse(readFileSync(join(web, 'size-limits.json'), 'utf8')).gzipped;
  const modules = { 'core.wasm': core, 'results.wasm': reader, 'spreadsheet.wasm': spreadsheets };
  for (const [name, bytes] of Object.entries(modules)) {
    const size = gzipSync(bytes).length;
    console.log(`${name}: ${show(bytes.length).trim()} bytes, ${show(size).trim()} gzipped, limit ${show(limits[name]).trim()}`);
    if (size > limits[name]) {
      console.error(
        `${name} has grown past its limit. Find out what made it larger and make that smaller, or, if the ` +
          'growth is worth every visitor\'s wait, raise the limit in web/size-limits.json.',
      );
      process.exitCode = 1;
    }
  }
}
