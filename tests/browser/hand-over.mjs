// A results file for journeys, made by the core in Node as the page's worker makes it.
//
// Enters: the folder of a sample book and a request. Leaves: the path of an HTML file.
// Always true: the file is what the page would have handed over; the template is that of the built site.
// Never: runs a browser.

import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

import { dist } from './harness.mjs';

const root = join(dist, '../..');
const generated = join(root, 'web/src/engine/generated');

/** Opens the sheets of a sample book in a session of its own. */
async function sessionOf(book) {
  const { initSync, Session } = await import(pathToFileURL(join(generated, 'core.js')).href);
  initSync({ module: readFileSync(join(generated, 'core_bg.wasm')) });
  const session = new Session();
  for (const sheet of ['cows', 'places', 'calves']) {
    const path = join(root, 'sample-books', book, `${sheet}.csv`);
    if (!existsSync(path)) continue;
    const bytes = new Uint8Array(readFileSync(path));
    session.import_begin(`${sheet}.csv`);
    session.import_push(bytes);
    session.import_finish();
    session.import_choose({ targets: [], answers: [], sheet });
    session.import_push(bytes);
    session.import_finish();
    session.import_commit(Session.digest(bytes));
  }
  return session;
}

/** Writes a results file; `change` may alter the request and the finished text. */
export async function handOver(to, { book = 'two-barns', request = {}, change = (html) => html } = {}) {
  const session = await sessionOf(book);
  const bare = { columns: [], rowKeys: null, groups: true, compare: null, message: '', madeOn: '2026-11-25', ...request };
  const usual = session.hand_over_preview(bare).columns.filter((column) => column.usual);
  const full = { ...bare, columns: [...usual.map((column) => column.key), ...bare.columns] };
  const template = readFileSync(join(dist, 'results-template.html'), 'utf8');
  writeFileSync(to, change(session.results_file(template, full)));
  return { preview: session.hand_over_preview(full), address: pathToFileURL(to).href };
}
