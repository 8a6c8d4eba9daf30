// What a browser journey stands on.
//
// Enters: a name and a function that drives a page. Leaves: exit code 0 only if the function ended, the page
// said nothing on its error console, broke no content-security policy, and asked no other host for anything.
//
//   import { journey } from '../harness.mjs';
//   await journey('she corrects a weight', async ({ open, page, check, axe, screenshot }) => {
//     await open('?sample=...');
//     ...
//   });
//
// Wait with locators (`page.getByText(...).waitFor()`), not with `page.waitForFunction`: the latter evaluates
// text inside the page, which the page's own policy forbids.
//
// `cargo xtask test` builds web/dist first and runs every journeys/*.mjs; by hand: `cargo xtask build
// --site-only`, then `node tests/browser/journeys/NAME.mjs`.

import assert from 'node:assert/strict';
import { accessSync, constants, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { delimiter, extname, join, normalize } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = fileURLToPath(new URL('../../', import.meta.url));
const fromWeb = createRequire(new URL('../../web/package.json', import.meta.url));
const { chromium } = fromWeb('playwright-core');
const axeSource = readFileSync(fromWeb.resolve('axe-core/axe.min.js'), 'utf8');

/** The built site. */
export const dist = join(root, 'web/dist');
/** Where screenshots go. */
export const screenshots = join(root, 'target/screenshots');
/** The whole program as one file, opened from disk. */
export const oneFile = pathToFileURL(join(dist, 'fairpen.html')).href;

/** How long one journey may take, on a slow and busy machine. */
const longestSeconds = 180;

const contentTypes = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.webmanifest': 'application/manifest+json',
};

/** Where Chromium is: CHROME_BIN, or the first of the usual names on the search path. */
export function browserProgram() {
  const names = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];
  const folders = (process.env.PATH ?? '').split(delimiter);
  const candidates = [process.env.CHROME_BIN, ...names.flatMap((name) => folders.map((folder) => join(folder, name)))];
  for (const candidate of candidates) {
    if (!candidate) continue;
    try {
      accessSync(candidate, constants.X_OK);
      return candidate;
    } catch {
      // the next one
    }
  }
  throw new Error('Chromium was not found. Install it, or name it in CHROME_BIN.');
}

/**
 * Serves a folder on 127.0.0.1 under a path of its own, as a plain static host would. `.wasm` is sent as
 * application/octet-stream on purpose: many hosts do, and the page must not care.
 */
export async function serve(folder = dist, under = '/') {
  const asked = [];
  const server = createServer((request, response) => {
    const path = decodeURIComponent(new URL(request.url, 'http://localhost').pathname);
    asked.push(path);
    try {
      if (!path.startsWith(under)) throw new Error('outside the folder');
      const inside = normalize(path.slice(under.length)).replace(/^[/\\]+/, '');
      if (inside.startsWith('..')) throw new Error('outside the folder');
      const file = inside === '' || inside === '.' ? 'index.html' : inside;
      const bytes = readFileSync(join(folder, file));
      response.writeHead(200, { 'content-type': contentTypes[extname(file)] ?? 'application/octet-stream' }).end(bytes);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  server.unref(); // a journey that failed before stopping it must still end
  return {
    /** The address of the folder, with its last slash. */
    address: `http://127.0.0.1:${server.address().port}${under}`,
    /** Every path asked for so far. */
    asked,
    /** Stops answering at once. */
    stop: () =>
      new Promise((resolve) => {
        server.close(resolve);
        server.closeAllConnections();
      }),
  };
}

/**
 * Runs one journey in a fresh browser profile.
 *
 * Options: `under` (path the site is served under), `viewport`, `colorScheme`, `files` (allow file: pages;
 * on by default), `context` (more options of the browser context).
 *
 * The function gets: `page`, `context`, `server`, `open(pathOrAddress)`, `screenshot(name)`, `axe(where)`,
 * `check` (node's assert), `expectTrouble(pattern)` (console errors this journey causes on purpose), and
 * `temporary` (a folder that is removed afterwards).
 */
export async function journey(name, drive, options = {}) {
  const server = await serve(dist, options.under ?? '/');
  const temporary = mkdtempSync(join(tmpdir(), 'fairpen-journey-'));
  const context = await chromium.launchPersistentContext(join(temporary, 'profile'), {
    executablePath: browserProgram(),
    headless: true,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--disable-dev-shm-usage',
    ],
    viewport: options.viewport ?? { width: 1280, height: 800 },
    colorScheme: options.colorScheme ?? 'light',
    acceptDownloads: true,
    ...options.context,
  });
  const trouble = [];
  const expected = [];
  const note = (what) => {
    if (!expected.some((pattern) => pattern.test(what))) trouble.push(what);
  };
  const watch = (page) => {
    page.on('console', (message) => {
      if (message.type() === 'error') note(`console: ${message.text()}`);
    });
    page.on('pageerror', (error) => note(`uncaught: ${error.stack ?? error.message}`));
    page.on('crash', () => note('the page crashed'));
  };
  // Requests of pages, workers and the service worker alike; blob: and data: addresses stay in the browser.
  context.on('request', (request) => {
    const { protocol, hostname } = new URL(request.url());
    const local = protocol === 'file:' || protocol === 'blob:' || protocol === 'data:' || hostname === '127.0.0.1';
    if (!local) note(`asked another host: ${request.url()}`);
  });
  await context.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => {
      console.error(`policy broken: ${event.violatedDirective} ${event.blockedURI}`);
    });
  });
  context.on('page', watch);
  const page = context.pages()[0] ?? (await context.newPage());
  watch(page);

  const tools = {
    page,
    context,
    server,
    temporary,
    check: assert,
    expectTrouble: (pattern) => expected.push(pattern),
    open: (path = '') => page.goto(new URL(path, server.address).href),
    async screenshot(file, of = page) {
      mkdirSync(screenshots, { recursive: true });
      await of.screenshot({ path: join(screenshots, `${file}.png`), animations: 'disabled' });
    },
    axe: (where = name, of = page) => axe(of, where),
  };
  const start = performance.now();
  // What waits inside the page for something that never comes would wait for ever.
  const limit = setTimeout(() => {
    console.error(`FAILED: ${name}: not done after ${longestSeconds} s`);
    process.exit(1);
  }, longestSeconds * 1000);
  try {
    await drive(tools);
    assert.deepEqual(trouble, [], 'the browser had something to say');
    console.log(`passed: ${name} (${((performance.now() - start) / 1000).toFixed(1)} s)`);
  } catch (cause) {
    console.error(`FAILED: ${name}`);
    for (const line of trouble) console.error(`  ${line}`);
    console.error(cause);
    await tools.screenshot(`failed ${name}`.replace(/[^a-z0-9]+/gi, '-')).catch(() => {});
    process.exitCode = 1;
  } finally {
    clearTimeout(limit);
    await context.close();
    await server.stop();
    rmSync(temporary, { recursive: true, force: true, maxRetries: 3 });
  }
}

/** Runs axe-core over the page as it stands and fails on any finding, with what and where. */
export async function axe(page, where) {
  // Evaluated by the debugger, so the page's own policy against strange scripts stays as it is.
  await page.evaluate(axeSource);
  const { violations } = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }));
  const found = violations.map(
    ({ id, impact, help, nodes }) => `${id} (${impact}): ${help}\n    ${nodes.map((node) => node.html).join('\n    ')}`,
  );
  assert.deepEqual(found, [], `accessibility of ${where}`);
}
