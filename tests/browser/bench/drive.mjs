// Drives the measuring page; `cargo xtask bench` starts it.
//
// Enters: the folder of the measuring site; then one JSON object per line of standard input:
//   { "do": "open", "data": "herd-1000.csv" }   a page that stays, with the engine and the herd in its worker
//   { "do": "run" } { "do": "arquero" }         one warm run in that page
//   { "do": "cold", "data": ... }               the first run in a browser that was just started
//   { "do": "person", "file": PATH }            a dropped file in a fresh browser: time, memory, long tasks
//   { "do": "sorts" | "windows", ... }          on the herd of the page that stays
//   { "do": "formulas" }                        on the herd of the page that stays
//   { "do": "keystrokes", "files": [...] }      on a small book, in a fresh page
//   { "do": "scroll", "site": FOLDER, "file": PATH, "n_rows": N }   on the sheet of the site that ships
// Leaves: for each line a line of JSON. Ends with its input.
// Always true: each measurement runs alone. Never: asks another host.

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { createInterface } from 'node:readline';
import { browserProgram, serve } from '../harness.mjs';
import { scroll } from './scroll.mjs';

const { chromium } = createRequire(new URL('../../../web/package.json', import.meta.url))('playwright-core');
const server = await serve(process.argv[2]);
const launch = () =>
  chromium.launch({
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
  });
const wasm = `${server.address}core_bg.wasm`;
const at = (file) => `${server.address}${file}`;

async function fresh(data) {
  const browser = await launch();
  const page = await browser.newPage();
  page.on('pageerror', (error) => console.error(error.message));
  await page.goto(at('page.html'));
  const ask = (kind, what, rest) =>
    page.evaluate(([kind, what, rest]) => globalThis.ask(kind, what, rest), [kind, what, rest ?? {}]);
  await ask('engine', 'start', { wasm, data: data && at(data) });
  return { browser, page, ask };
}

/** The most memory the page's process ever held, in bytes; null where the system does not say. */
async function mostMemory(browser) {
  const devtools = await browser.newBrowserCDPSession();
  const { processInfo } = await devtools.send('SystemInfo.getProcessInfo');
  const most = processInfo
    .filter(({ type }) => type === 'renderer')
    .map(({ id }) => {
      try {
        const status = readFileSync(`/proc/${id}/status`, 'utf8');
        return Number(/VmHWM:\s+(\d+) kB/.exec(status)[1]) * 1024;
      } catch {
        return null;
      }
    })
    .filter((bytes) => bytes !== null);
  return most.length ? Math.max(...most) : null;
}

let standing;
let arqueroReady = false;
let data;
const commands = {
  async open(line) {
    await standing?.browser.close();
    arqueroReady = false;
    ({ data } = line);
    standing = await fresh(data);
    return { browser: standing.browser.version() };
  },
  run: () => standing.ask('engine', 'run'),
  async arquero() {
    if (!arqueroReady) await standing.ask('arquero', 'start', { data: at(data) });
    arqueroReady = true;
    return standing.ask('arquero', 'run');
  },
  async cold(line) {
    const { browser, ask } = await fresh(line.data);
    const answer = await ask('engine', 'run');
    await browser.close();
    return answer;
  },
  async person(line) {
    const { browser, page } = await fresh();
    const before = await mostMemory(browser);
    await page.setInputFiles('#file', line.file);
    const answer = await page.evaluate(() => globalThis.askWithFile());
    const most = await mostMemory(browser);
    await browser.close();
    return { ...answer, process_bytes: most, empty_process_bytes: before };
  },
  sorts: ({ rounds }) => standing.ask('engine', 'sorts', { rounds }),
  windows: ({ n }) => standing.ask('engine', 'windows', { n }),
  formulas: () => standing.ask('engine', 'formulas'),
  async scroll({ site, file, n_rows }) {
    const shipped = await serve(site);
    const browser = await launch();
    try {
      return await scroll(browser, shipped.address, file, n_rows);
    } finally {
      await browser.close();
      await shipped.stop();
    }
  },
  async keystrokes({ files, n }) {
    const { browser, ask } = await fresh();
    const named = files.map((path) => ({ name: path.split('/').pop(), address: at(path) }));
    const { n_rows } = await ask('engine', 'book', { files: named });
    await ask('engine', 'keystrokes', { n: 20 });
    const answer = await ask('engine', 'keystrokes', { n });
    await browser.close();
    return { n_rows, ...answer };
  },
};

try {
  for await (const text of createInterface({ input: process.stdin })) {
    if (text.trim() === '') continue;
    const line = JSON.parse(text);
    let answer;
    try {
      answer = await commands[line.do](line);
    } catch (cause) {
      answer = { failure: cause.message };
    }
    process.stdout.write(`${JSON.stringify(answer)}\n`);
  }
} finally {
  await standing?.browser.close();
  await server.stop();
}
