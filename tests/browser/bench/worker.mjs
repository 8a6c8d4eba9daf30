// The engine, or arquero, in a worker, with a clock around it.
//
// Enters: messages { id, ask, ... } from page.js. Leaves: { id, answer } or { id, failure }.
// Always true: the CSV bytes are in the worker before a clock starts, except in `person`, which reads a File as
// the page does; every run starts from nothing.
// Never: ships; what ships is the module measured here.

import * as core from './core.js';

const CHUNK = 256 * 1024;
const RESULTS = ['ratio', 'rank_in_group'];
const SHOWN_ROWS = 50;
let memory;
let bytes;
let session;

const median = (numbers) => [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)];
const percentile = (numbers, share) =>
  [...numbers].sort((a, b) => a - b)[Math.min(numbers.length - 1, Math.ceil(share * numbers.length) - 1)];

/** One number after the other from a fixed seed, so that each round looks at the same rows. */
function draws(seed) {
  let state = seed >>> 0;
  return (limit) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * limit);
  };
}

function emptySession() {
  session?.free();
  session = new core.Session();
}

/** SHA-256 as the page makes it: by the browser, beside the engine. */
async function digestOf(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

async function bringIn(name, file) {
  session.import_begin(name);
  const digest = digestOf(file);
  for (let at = 0; at < file.length; at += CHUNK) session.import_push(file.subarray(at, at + CHUNK));
  session.import_finish();
  session.import_commit(await digest);
}

/** What all engines must agree on, read through the window that the sheet is drawn from. */
function checksum() {
  const nRows = session.state().sheets.find(({ key }) => key === 'calves').nRows;
  const sums = { n_rows: nRows, n_ratios: 0, sum_of_ratios: 0, sum_of_squares: 0, sum_of_ranks: 0 };
  for (let first = 0; first < nRows; first += 8192) {
    const window = session.window('calves', first, 8192, RESULTS);
    const { values } = window;
    window.free();
    for (let at = 0; at < values.length; at += 2) {
      if (Number.isNaN(values[at])) continue;
      sums.n_ratios += 1;
      sums.sum_of_ratios += values[at];
      sums.sum_of_squares += values[at] * values[at];
      sums.sum_of_ranks += values[at + 1];
    }
  }
  return sums;
}

const columnsOf = (sheet) => session.columns(sheet).map(({ key }) => key);

/** A change and everything the page asks for after it. */
function keystrokes(n) {
  const keys = columnsOf('calves');
  const next = draws(5);
  const times = { change: [], all: [] };
  const nRows = session.set_view({ sheet: 'calves', sort: [], text: '', filters: [] });
  for (let round = 0; round < n; round += 1) {
    const rowKey = next(nRows);
    const start = performance.now();
    session.change({
      do: 'setCells',
      sheet: 'calves',
      cells: [{ rowKey, column: 'wean_weight', text: String(450 + next(200)) }],
    });
    const window = session.window('calves', Math.max(0, rowKey - 25), SHOWN_ROWS, keys);
    void window.text;
    window.free();
    times.change.push(performance.now() - start);
    session.state();
    times.all.push(performance.now() - start);
  }
  return { change_ms: median(times.change), all_ms: median(times.all), p95_ms: percentile(times.all, 0.95) };
}

function sorts(rounds) {
  const times = {};
  for (const column of columnsOf('calves')) {
    const taken = [];
    for (let round = 0; round < rounds; round += 1) {
      const start = performance.now();
      const sort = [{ column, descending: round % 2 === 1 }];
      session.set_view({ sheet: 'calves', sort, text: '', filters: [] });
      taken.push(performance.now() - start);
    }
    times[column] = median(taken);
  }
  return times;
}

function windows(n) {
  const keys = columnsOf('calves');
  const next = draws(11);
  const nRows = session.set_view({ sheet: 'calves', sort: [{ column: 'ratio', descending: true }], text: '', filters: [] });
  session.state(); // The marks of cells are made on first use.
  const taken = [];
  for (let round = 0; round < n; round += 1) {
    const first = next(Math.max(1, nRows - SHOWN_ROWS));
    const start = performance.now();
    const window = session.window('calves', first, SHOWN_ROWS, keys);
    void window.text;
    void window.values;
    window.free();
    taken.push(performance.now() - start);
  }
  return { n_columns: keys.length, p50_ms: median(taken), p95_ms: percentile(taken, 0.95) };
}

/** A file as a person drops it: read from the device piece by piece. */
async function person(file) {
  emptySession();
  const start = performance.now();
  session.import_begin(file.name);
  const bytes = new Uint8Array(file.size);
  for (let at = 0; at < file.size; at += CHUNK) {
    const piece = new Uint8Array(await file.slice(at, at + CHUNK).arrayBuffer());
    bytes.set(piece, at);
    session.import_push(piece);
  }
  const digest = digestOf(bytes);
  session.import_finish();
  session.import_commit(await digest);
  return { ms: performance.now() - start, memory_bytes: memory.buffer.byteLength };
}

/** Calculated columns of several kinds, each made and made again: what a change of its formula costs. */
const FORMULAS = {
  'a sum of two columns': 'wean_weight+birth_weight',
  'a result of the engine': 'ratio-100',
  'a choice': 'IF(sex="heifer";adj_205_weight;0)',
  'against the mean of the column': 'ROUND(wean_weight/AVERAGE(wean_weight)*100;1)',
  'the mean of the own group': 'AVERAGEIFS(adj_205_weight;contemporary_group;contemporary_group)',
  'rank in the column': 'RANK(adj_205_weight;adj_205_weight)',
  'days between dates': 'DAYS(wean_date;birth_date)',
  'text': 'CONCATENATE(tag;" ";place)',
};

function formulas() {
  const sheet = 'calves';
  const times = {};
  for (const [name, formula] of Object.entries(FORMULAS)) {
    const before = new Set(columnsOf(sheet));
    session.change({ do: 'addCalculated', sheet, label: name, formula });
    const column = columnsOf(sheet).find((key) => !before.has(key));
    const plain = [];
    const both = [];
    for (let round = 0; round < 5; round += 1) {
      // The same change without and with a formula to compute; the difference is the formula's.
      session.undo();
      let start = performance.now();
      session.change({ do: 'addColumn', sheet, label: name });
      plain.push(performance.now() - start);
      session.undo();
      start = performance.now();
      session.change({ do: 'addCalculated', sheet, label: name, formula });
      both.push(performance.now() - start);
    }
    if (column === undefined) throw new Error(`the column "${name}" was not made`);
    times[name] = { formula, ms: Math.max(0, median(both) - median(plain)), with_everything_ms: median(both) };
    session.undo();
  }
  return times;
}

const answers = {
  async start({ wasm, data }) {
    const module = await WebAssembly.compile(await (await fetch(wasm)).arrayBuffer());
    ({ memory } = core.initSync({ module }));
    if (data) bytes = new Uint8Array(await (await fetch(data)).arrayBuffer());
    return { version: core.version() };
  },
  async run() {
    emptySession();
    const start = performance.now();
    await bringIn('calves.csv', bytes);
    const ms = performance.now() - start;
    return { ms, memory_bytes: memory.buffer.byteLength, ...checksum() };
  },
  /** The same without a checksum, for other measurements. */
  async book({ files }) {
    emptySession();
    for (const { name, address } of files) {
      await bringIn(name, new Uint8Array(await (await fetch(address)).arrayBuffer()));
    }
    return { n_rows: session.state().sheets[0].nRows };
  },
  person: ({ file }) => person(file),
  recalculate() {
    const { change_ms } = keystrokes(3);
    return { ms: change_ms };
  },
  keystrokes: ({ n }) => keystrokes(n),
  formulas,
  sorts: ({ rounds }) => sorts(rounds),
  windows: ({ n }) => windows(n),
};

self.onmessage = async ({ data }) => {
  const { id, ask, ...rest } = data;
  try {
    self.postMessage({ id, answer: await answers[ask](rest) });
  } catch (cause) {
    self.postMessage({ id, failure: cause?.message ?? String(cause) });
  }
};
