/**
 * The book worker: the only place where the book of record lives.
 *
 * Enters: the compiled core, then numbered requests. Leaves: one numbered answer to each, and progress.
 * Always true: when the engine stops (a bug), the page is told and this worker answers nothing more.
 * Never: touches the document or the network.
 */
import { initSync, Session, type Refusal, type RowsDone } from './generated/core.js';
import { ImportReading, digestOf } from './import-reading.ts';
import { KeptBook, own, type News } from './kept-book.ts';
import type { Ask, BookCall, BookCalls, FromWorker, Opened, Start, Changed } from './protocol.ts';
import { askFor, claimSoon, claimWhenFree } from '../store/claim.ts';
import type { Device } from '../store/device.ts';
import { InBrowser, Later } from '../store/in-browser.ts';
import { InMemory } from '../store/in-memory.ts';

const scope = self as unknown as DedicatedWorkerGlobalScope;
const say = (message: FromWorker, transfer: Transferable[] = []): void => scope.postMessage(message, transfer);

let device: Device;
let book: KeptBook | undefined;
let reading: ImportReading | undefined;
let stopped = false;
/** The books were kept by a later program: nothing is opened, so that nothing is overwritten. */
let later = '';
let waiting: AbortController | undefined;

/** How long the tab that has the book may take to let go; a tab that sleeps cannot answer. */
const PATIENCE_MS = 10_000;
/** How long the page may take to hand in what is being typed. */
const LAST_WORDS_MS = 3_000;

function current(): KeptBook {
  if (book === undefined) throw new Error('No book is open.');
  return book;
}
const session = (): Session => current().session;
function toBringIn(): ImportReading {
  if (reading === undefined) throw new Error('There is no file to bring in.');
  return reading;
}

const news: News = {
  saved: (saved) => say({ kind: 'saved', saved }),
  remark: (remark) => say({ kind: 'remark', remark }),
};

async function replaced(next: () => Promise<KeptBook>): Promise<KeptBook> {
  waiting?.abort();
  await book?.close();
  book = undefined;
  reading = undefined;
  book = await next();
  listen(book);
  return book;
}

/** When another tab asks, the page hands in what is being typed and lets go; if it cannot, the worker does. */
function listen(kept: KeptBook): void {
  kept.onAsked(() => {
    say({ kind: 'askedFor' });
    setTimeout(() => { if (book === kept) kept.letGo().catch(() => undefined); }, LAST_WORDS_MS);
  });
}

/** Waits for the book, then reads it anew: what the other tab wrote is in it before anything is written here. */
async function takeOver(ask: boolean): Promise<Opened | null> {
  const before = current();
  waiting?.abort();
  if (before.mine) return before.opened([]);
  const mine = new AbortController();
  waiting = mine;
  const limit = ask ? setTimeout(() => mine.abort('silent'), PATIENCE_MS) : undefined;
  try {
    const free = claimWhenFree(before.id, mine.signal);
    if (ask) askFor(before.id);
    const claim = await free;
    clearTimeout(limit);
    if (mine.signal.aborted || book !== before) {
      claim.release();
      return null;
    }
    const remarks: string[] = [];
    const next = await KeptBook.open(before.id, false, device, news, remarks, claim);
    if (book !== before) {
      await next.close();
      return null;
    }
    book = next;
    reading = undefined;
    listen(next);
    await before.close();
    return next.opened(remarks);
  } catch (cause) {
    if (!mine.signal.aborted) throw cause;
    if (mine.signal.reason === 'silent') throw new Error('The other tab does not let go: it may be asleep, or its last changes are not saved. Look there, or close it.');
    return null;
  } finally {
    clearTimeout(limit);
    if (waiting === mine) waiting = undefined;
  }
}

/** A step that may put another session in place of this one: a file on its way in belonged to the old one. */
async function leading<T>(step: Promise<T>): Promise<T> {
  const before = session();
  const done = await step;
  if (book !== undefined && book.session !== before) {
    reading?.cancel();
    reading = undefined;
  }
  return done;
}

/** A change of rows, with what it came to in words. */
async function changeOfRows(make: () => RowsDone): Promise<Changed & { words: string }> {
  let words = '';
  const done = await current().change({
    make: () => {
      const made = make();
      words = made.words;
      const { record } = made;
      made.free();
      return { record };
    },
  });
  return { ...done, words };
}

type Handlers = { [C in BookCall]: (ask: BookCalls[C]['ask'], id: number) => BookCalls[C]['answer'] | Promise<BookCalls[C]['answer']> };

const handlers: Handlers = {
  books: async () => ({ books: await device.list(), where: device.where }),
  create: async ({ title, sample, files }) => {
    const made = await replaced(async () => {
      const fresh = new Session();
      fresh.change({ do: 'setSettings', settings: { ...fresh.settings(), title } });
      for (const file of files) {
        fresh.import_begin(file.name);
        fresh.import_push(file.bytes);
        fresh.import_finish();
        fresh.import_commit(await digestOf(file.bytes));
      }
      // Opened anew from its own bytes: a fresh book has nothing to undo.
      fresh.open(fresh.save());
      return KeptBook.keep(fresh, device, sample, news);
    });
    return made.opened([]);
  },
  open: async ({ id, carefully, again = false }) => {
    const remarks: string[] = [];
    const taken = again ? await claimSoon(id, PATIENCE_MS) : undefined;
    const opened = await replaced(() => KeptBook.open(id, carefully, device, news, remarks, taken));
    return opened.opened(remarks);
  },
  openCopy: async ({ bytes, title }) => {
    // Before the open book is let go: a file that is refused changes nothing.
    const fresh = new Session();
    try {
      fresh.open(bytes);
      if (title !== undefined) {
        fresh.change({ do: 'setSettings', settings: { ...fresh.settings(), title } });
        fresh.open(fresh.save());
      }
    } catch (cause) {
      if (!(cause instanceof WebAssembly.RuntimeError)) fresh.free();
      throw cause;
    }
    const opened = await replaced(() => KeptBook.keep(fresh, device, false, news));
    return opened.opened([]);
  },
  letGo: () => current().letGo(),
  takeOver: ({ ask }) => takeOver(ask),
  waitNoMore: () => {
    waiting?.abort();
    return null;
  },
  close: async () => {
    waiting?.abort();
    await book?.close();
    book = undefined;
    return null;
  },
  remove: async ({ id }) => {
    if (book?.id === id) await handlers.close({}, 0);
    await device.remove(id);
    return null;
  },
  save: () => ({ bytes: own(session().save()), revision: session().state().revision }),
  change: ({ change }) => current().change({ make: () => ({ record: session().change(change) }) }),
  undo: () => leading(current().undo()),
  redo: () => leading(current().redo()),
  versions: () => current().versions(),
  versionDifference: ({ id }) => current().difference(id),
  versionBytes: async ({ id }) => {
    const { version, bytes } = await current().version(id);
    return { bytes, title: version.title };
  },
  bringBack: ({ id }) => leading(current().bringBack(id)),
  takeOffRows: ({ request }) => changeOfRows(() => session().take_off_rows(request)),
  takenOffKeys: ({ sheet }) => session().taken_off_keys(sheet),
  doubles: ({ sheet, rowKeys }) => session().doubles(sheet, new Uint32Array(rowKeys)),
  bringBackKeys: ({ sheet, rowKeys }) => changeOfRows(() => session().bring_back(sheet, new Uint32Array(rowKeys))),
  insertRows: ({ sheet, at, nRows }) => current().change({ make: () => ({ record: session().insert_rows(sheet, at, nRows) }) }),
  hideRows: ({ request }) => session().hide_rows(request),
  showHiddenRows: ({ sheet }) => {
    session().show_hidden_rows(sheet);
    return null;
  },
  rowsAside: ({ sheet }) => session().rows_aside(sheet),
  settings: () => session().settings(),
  importRead: ({ name, part, today, file }, id) => {
    reading?.cancel();
    reading = new ImportReading(session(), { name, part, today });
    return reading.read(file, (done, of, rows) => say({ kind: 'progress', id, done, of, rows }));
  },
  importChoose: ({ choices }, id) => toBringIn().choose(choices, (done, of, rows) => say({ kind: 'progress', id, done, of, rows })),
  importAnew: (_, id) => toBringIn().anew((done, of, rows) => say({ kind: 'progress', id, done, of, rows })),
  remembered: () => session().remembered(),
  importMerge: ({ choices }) => session().import_merge(choices),
  importRows: ({ first, n, kind }) => session().import_rows(first, n, kind),
  importNames: ({ first, n }) => session().import_names(first, n),
  importName: ({ row, column, nth, choice }) => session().import_name(row, column, nth, choice ?? undefined),
  importCancel: () => {
    if (reading === undefined) return null;
    reading.cancel();
    reading = undefined;
    session().import_cancel();
    return null;
  },
  importCommit: async () => {
    const digest = await toBringIn().ready();
    return current().change({
      before: 'import',
      make: () => {
        const done = toBringIn().commit(digest);
        reading = undefined;
        return done;
      },
    });
  },
  columns: ({ sheet }) => session().columns(sheet),
  look: ({ sheet }) => session().look(sheet),
  keepLook: ({ sheet, look }) => current().change({ make: () => ({ record: session().keep_look(sheet, look) }), way: 'aside' }),
  setView: ({ view }) => session().set_view(view),
  window: ({ sheet, first, nRows, columns }) => {
    const rows = session().window(sheet, first, nRows, columns);
    const answer = { rowKeys: rows.rowKeys, text: rows.text, flags: rows.flags, values: rows.values };
    rows.free();
    return answer;
  },
  raw: ({ sheet, rowKey, column }) => session().raw(sheet, rowKey, column),
  remark: ({ sheet, rowKey, column }) => session().remark(sheet, rowKey, column),
  namesAt: ({ sheet, rowKey, column }) => session().names_at(sheet, rowKey, column),
  namesLike: ({ sheet, rowKey, column, typed, most }) => session().names_like(sheet, rowKey ?? undefined, column, typed, most),
  card: ({ sheet, rowKey }) => session().card(sheet, rowKey),
  namedBy: ({ sheet, rowKey, column, text }) => session().named_by(sheet, rowKey, column, text),
  retag: ({ sheet, rowKey, what, name, from }) => current().change({ make: () => ({ record: session().retag(sheet, rowKey, what, name, from) }) }),
  keepAsCows: ({ rowKeys, from }) => current().change({ make: () => ({ record: session().keep_as_cows(new Uint32Array(rowKeys), from) }) }),
  values: ({ sheet, column }) => session().values(sheet, column),
  edge: ({ sheet, from, column, direction }) => session().edge(sheet, from, column, direction),
  position: ({ sheet, rowKey }) => session().position(sheet, rowKey),
  find: ({ sheet, text, from, columns }) => session().find(sheet, text, from, columns),
  rangeFacts: ({ sheet, first, last, columns }) => session().range_facts(sheet, first, last, columns),
  countReplace: ({ request }) => session().count_replace(request),
  replace: ({ request }) => current().change({ make: () => ({ record: session().replace(request) }) }),
  working: ({ rowKey, column }) => session().working(rowKey, column),
  calculatedWorking: ({ sheet, rowKey, column }) => session().calculated_working(sheet, rowKey, column),
  checkFormula: ({ sheet, column, text, rowKeys }) => session().check_formula(sheet, column, text, rowKeys),
  completeFormula: ({ sheet, text, cursor }) => session().complete_formula(sheet, text, cursor),
  formulaFunctions: () => session().formula_functions(),
  groups: () => session().groups(),
  problems: ({ perGroup }) => session().problems(perGroup),
  acceptedProblems: ({ perGroup }) => session().accepted_problems(perGroup),
  padAnimals: ({ task, text, day, most }) => session().pad_animals(task, text, day, most),
  padDoubts: ({ entry }) => session().pad_doubts(entry),
  padEnter: ({ entry }) => current().change({ make: () => ({ record: session().pad_enter(entry) }) }),
  padTakeBack: ({ task, rowKey }) => current().change({ make: () => ({ record: session().pad_take_back(task, rowKey) }) }),
  padToday: ({ task, day }) => session().pad_today(task, day),
  padCsv: ({ task, day }) => own(session().pad_csv(task, day)),
  workListPlaces: () => session().work_list_places(),
  workList: ({ place }) => own(session().work_list(place)),
  comparable: () => session().comparable(),
  planTrial: ({ request }) => session().plan_trial(request),
  trialList: ({ request }) => own(session().trial_list(request)),
  couldSee: ({ request }) => session().could_see(request),
  compareResponses: () => session().compare_responses(),
  handOverPreview: ({ request }) => session().hand_over_preview(request),
  resultsFile: ({ template, request }) => session().results_file(template, request),
  csv: ({ table }) => session().csv(table),
};

async function start({ module, held }: Start): Promise<void> {
  initSync({ module });
  if (held === null) {
    try {
      device = await InBrowser.open(
        () => say({ kind: 'remark', remark: 'Another tab has an older Fairpen open. Close that tab; this one goes on by itself then.' }),
        () => setTimeout(() => void book?.lookAgain()),
      );
    } catch (cause) {
      if (cause instanceof Later) later = cause.message;
      device = new InMemory();
    }
  } else {
    device = new InMemory(held);
  }
  if (later !== '') say({ kind: 'remark', remark: later });
  const probe = new Session();
  say({ kind: 'started', version: probe.version(), where: device.where });
  probe.free();
}

function asRefusal(cause: unknown): Refusal {
  if (typeof cause === 'object' && cause !== null && 'code' in cause && 'message' in cause && 'hint' in cause) return cause as Refusal;
  return { code: 'page.refused', message: cause instanceof Error ? cause.message : String(cause), hint: '' };
}

async function answer({ id, call, with: asked }: Ask<BookCall>): Promise<void> {
  try {
    const handler = handlers[call] as (ask: unknown, id: number) => unknown;
    const result = await handler(asked, id);
    if (!stopped) say({ kind: 'answer', id, answer: result });
  } catch (cause) {
    if (stopped) return;
    if (cause instanceof WebAssembly.RuntimeError) {
      stopped = true;
      const held = device instanceof InMemory ? device.contents() : null;
      say({ kind: 'stopped', id, call, message: cause.message, held });
      return;
    }
    // A refusal is a plain object with getters at most; only its three texts cross.
    const { code, message, hint } = asRefusal(cause);
    say({ kind: 'refused', id, refusal: { code, message, hint } });
  }
}

let ready: Promise<void>;
scope.onmessage = (event: MessageEvent<Start | Ask<BookCall>>) => {
  const message = event.data;
  if (message.kind === 'start') ready = start(message);
  else if (!stopped) void ready.then(() => answer(message));
};
