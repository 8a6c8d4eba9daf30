/**
 * What the page knows: which book is open, how far it is saved, where the person stands.
 *
 * Enters: what the person does. Leaves: a `change` event whenever anything shown may differ.
 * Always true: the book's state is what the book worker last reported.
 * Never: holds data of record.
 */
import { Ended, Engine, Stale, type Between } from '../engine/client.ts';
import type { BookState, Change, ColumnInfo, ComparableColumn, CompareRequest, GroupsView, ProblemGroup, ResponseOption } from '../engine/generated/core.js';
import type { Changed, NamedBytes, Opened, Saved } from '../engine/protocol.ts';
import type { BookMeta } from '../store/device.ts';
import { forget, missingSince } from '../store/evidence.ts';
import { askToKeep, type Keeping } from '../store/keeping.ts';
import { format, parse, route, type Route } from './route.ts';

const LAST_BOOK = 'fairpen-last-book';
/** Problems listed per kind; the rest are counted. */
const PROBLEMS_PER_KIND = 50;

/** What was last asked of the engine, kept until the book changes. */
class ByRevision<T> {
  private at = '';
  private kept: Promise<T> | undefined;
  get(stamp: string, ask: () => Promise<T>): Promise<T> {
    if (this.kept === undefined || this.at !== stamp) {
      this.at = stamp;
      this.kept = ask();
      this.kept.catch(() => { this.kept = undefined; });
    }
    return this.kept;
  }
}

export class App extends EventTarget {
  readonly engine = new Engine((opened, what) => this.restarted(opened, what), (message) => this.between(message));
  phase: 'starting' | 'ready' | 'failed' = 'starting';
  failure = '';
  where: 'device' | 'memory' = 'device';
  keeping: Keeping = 'unknown';
  books: BookMeta[] = [];
  book: BookMeta | undefined;
  state: BookState | undefined;
  saved: Saved | undefined;
  /** A new version of the program waits to be let in. */
  newVersion = false;
  /** Changes on their way to the device. */
  pending = 0;
  /** What a person must know; each can be put away. */
  remarks: string[] = [];
  /** A short word about what was just done. */
  told = '';
  route: Route = parse(location.hash);
  /** The calf last looked at, by row key. */
  selected: number | null = null;
  /** The cell whose working is shown; `formulaIn` is the sheet of a column with a formula of her own. */
  working: { rowKey: number; column: string; formulaIn?: string } | null = null;
  /** The rows whose card is shown: an animal or a place, or several calves. */
  card: { sheet: string; rowKeys: number[] } | null = null;
  /** Steps from a cell to what it names, so that Back leads to the cell. */
  cameFrom: { here: string; there: string; label: string }[] = [];
  /** What was compared last, offered at the hand-over. */
  lastComparison: CompareRequest | undefined;
  /** The calves sheet is filtered. */
  filtered = false;

  private readonly groupsKept = new ByRevision<GroupsView>();
  private readonly problemsKept = new ByRevision<ProblemGroup[]>();
  private readonly comparableKept = new ByRevision<ComparableColumn[]>();
  private readonly responsesKept = new ByRevision<ResponseOption[]>();
  private readonly columnsKept = new Map<string, ByRevision<ColumnInfo[]>>();

  /** Tells everyone that something shown may differ. */
  notify(): void {
    this.dispatchEvent(new Event('change'));
  }

  async start(): Promise<void> {
    addEventListener('hashchange', () => {
      this.route = parse(location.hash);
      this.working = null;
      this.card = null;
      this.notify();
    });
    document.addEventListener('visibilitychange', () => this.waitForBook());
    addEventListener('beforeunload', (event) => {
      // Only what is nowhere else keeps the tab open.
      if (this.pending > 0 || this.saved?.where === 'memory') event.preventDefault();
    });
    try {
      this.where = (await this.engine.started).where;
      await this.listBooks();
      if (this.where === 'memory' && !this.remarks.some((remark) => remark.includes('later version of Fairpen'))) {
        this.remarks.push('This browser does not let Fairpen keep books here. Everything stays in this tab until you close it. Use "Save a copy" before you leave.');
      }
      const last = remembered(LAST_BOOK);
      if (this.route.view !== 'start' || last !== '') {
        const kept = this.books.find((one) => one.id === last) ?? (this.route.view !== 'start' ? this.books[0] : undefined);
        if (kept !== undefined) await this.openBook(kept.id, location.hash === '');
        else if (this.route.view !== 'start') this.go(route('start'));
      }
      this.phase = 'ready';
    } catch (cause) {
      this.phase = this.book === undefined && this.where === 'device' && cause instanceof Error && this.books.length > 0 ? 'ready' : 'failed';
      this.failure = words(cause);
      if (this.phase === 'ready') this.remarks.push(this.failure);
    }
    this.notify();
  }

  go(to: Route): void {
    const hash = format(to);
    if (location.hash === hash) {
      this.route = to;
      this.notify();
    } else {
      location.hash = hash;
    }
  }

  /* Books. */

  async listBooks(): Promise<void> {
    const { books, where } = await this.engine.ask('books', {});
    this.books = books.sort((a, b) => b.savedAt - a.savedAt);
    this.where = where;
    if (where === 'device') this.sayMissing();
    this.notify();
  }

  private missing: { remark: string; titles: string[] } | undefined;

  /** A browser may clear its storage between two visits; that is said, not shown as a first visit. */
  private sayMissing(): void {
    const titles = missingSince(this.books);
    if (titles.length === 0) return;
    const named = titles.map((title) => `"${title}"`).join(', ');
    this.missing = { titles, remark: `${named} ${titles.length === 1 ? 'was' : 'were'} kept on this device and ${titles.length === 1 ? 'is' : 'are'} not here any more: the browser, or someone at this device, cleared its storage. If you saved a copy as a file, open it with "Bring in" or "Choose a file".` };
    this.tell(this.missing.remark, true);
  }

  async openBook(id: string, goTo = true): Promise<void> {
    this.show(await this.engine.ask('open', { id, carefully: false }), goTo);
  }

  async createBook(title: string, sample = false, files: NamedBytes[] = []): Promise<void> {
    this.show(await this.engine.ask('create', { title, sample, files }), false);
    await this.listBooks();
  }

  async openCopy(file: NamedBytes & { title?: string }): Promise<void> {
    this.show(await this.engine.ask('openCopy', file), true);
    void this.askToKeep();
    await this.listBooks();
  }

  async removeBook(id: string): Promise<void> {
    await this.engine.ask('remove', { id });
    forget((one) => one === id);
    if (this.book?.id === id) {
      this.closed();
    }
    await this.listBooks();
  }

  /** No book is open any more. */
  private closed(): void {
    this.book = undefined;
    this.state = undefined;
    this.saved = undefined;
    this.selected = null;
    this.working = null;
    remember(LAST_BOOK, '');
    this.go(route('start'));
  }

  private show(opened: Opened, goTo: boolean): void {
    this.openings += 1;
    this.book = opened.book;
    this.state = opened.state;
    this.saved = opened.saved;
    this.selected = null;
    this.working = null;
    this.card = null;
    this.cameFrom = [];
    this.remarks.push(...opened.remarks);
    remember(LAST_BOOK, opened.book.id);
    this.waitForBook();
    void askToKeep(false).then((keeping) => { this.keeping = keeping; });
    if (goTo) this.go(route(opened.state.workList == null ? 'fair' : 'pad'));
    this.notify();
  }

  private restarted(opened: Opened | undefined, what: string): void {
    if (what === '') {
      if (opened !== undefined) this.show(opened, false);
      else this.closed();
      this.pending = 0;
      this.tell(opened === undefined ? 'Stopped. The book was not opened.' : 'Stopped. The book stands as it was last saved.');
      return;
    }
    if (opened !== undefined) {
      this.show(opened, false);
      this.tell(`${what} It was started again, and every change that was saved is here. The last request was set aside.`, true);
    } else {
      this.tell(`${what} It was started again.`, true);
    }
    this.pending = 0;
    this.notify();
  }

  /* Changes. Each resolves when it is safe. */

  change(change: Change): Promise<void> {
    return this.acknowledged(this.engine.ask('change', { change }));
  }
  async undo(): Promise<void> {
    const what = this.state?.undo;
    if (what == null) return this.tell('Nothing to undo.');
    await this.acknowledged(this.engine.ask('undo', {})).then(() => this.tell(`Undone: ${what}.`), (cause) => this.trouble(cause));
  }
  async redo(): Promise<void> {
    const what = this.state?.redo;
    if (what == null) return this.tell('Nothing to do again.');
    await this.acknowledged(this.engine.ask('redo', {})).then(() => this.tell(`Done again: ${what}.`), (cause) => this.trouble(cause));
  }

  async acknowledged(answer: Promise<Changed>): Promise<void> {
    this.pending += 1;
    this.notify();
    try {
      const { state, saved, opened } = await answer;
      this.forgetRefusals();
      if (opened !== undefined) {
        this.show(opened, false);
        return;
      }
      if (!this.askedToKeep && this.book?.sample === false) void this.askToKeep();
      if (this.state === undefined || state.revision >= this.state.revision) {
        this.state = state;
        if (this.book !== undefined) this.book = { ...this.book, title: state.title };
      }
      this.saved = saved;
    } finally {
      this.pending = Math.max(0, this.pending - 1);
      this.notify();
    }
  }

  private askedToKeep = false;

  /** Asks the browser not to clear this book: once it holds something of hers, or when she says so. */
  async askToKeep(): Promise<void> {
    this.askedToKeep = true;
    this.keeping = await askToKeep(true);
    this.notify();
  }

  /* Words to the person. */

  tell(message: string, stay = false): void {
    if (stay && !this.remarks.includes(message)) this.remarks = [...this.remarks, message];
    if (!stay) this.told = message;
    this.notify();
  }
  trouble(cause: unknown): void {
    if (cause instanceof Stale) return;
    this.tell(words(cause), !(cause instanceof Ended));
    if (!(cause instanceof Ended)) this.refusals.add(words(cause));
  }
  /** What was refused is said until something is done that is not: by then it may be mended. */
  private readonly refusals = new Set<string>();
  private forgetRefusals(): void {
    if (this.refusals.size === 0) return;
    this.remarks = this.remarks.filter((one) => !this.refusals.has(one));
    this.refusals.clear();
  }
  putAway(remark: string): void {
    this.remarks = this.remarks.filter((one) => one !== remark);
    if (remark === this.missing?.remark) {
      const { titles } = this.missing;
      const here = new Set(this.books.map((book) => book.id));
      forget((id, title) => titles.includes(title) && !here.has(id));
    }
    this.notify();
  }

  /** What the worker says between the page's questions. */
  private between(message: Between): void {
    if (message.kind === 'act') return this.notify();
    if (message.kind === 'askedFor') void this.letGo();
    else if (message.kind === 'remark') this.tell(message.remark, true);
    else {
      if (message.saved.where === 'device' && this.saved?.where === 'memory') this.tell('Everything is saved on this device again.');
      this.saved = message.saved;
      this.notify();
    }
  }

  /** Puts an earlier version in the place of the book. */
  async bringBack(id: number): Promise<void> {
    this.show(await this.engine.ask('bringBack', { id }), false);
  }

  /* Two tabs on one book: one writes. */

  /** Another tab asks for the book: what is being typed here is handed in first. */
  private async letGo(): Promise<void> {
    (document.activeElement as HTMLElement | null)?.blur();
    // The change that a field sends when it is left goes out before this.
    await new Promise((resolve) => setTimeout(resolve));
    try {
      this.saved = await this.engine.ask('letGo', {});
      this.tell('Another tab took this book over. Everything typed here was saved first; here it can be read now.');
      this.waitForBook();
    } catch (cause) {
      this.trouble(cause);
    }
    this.notify();
  }

  /** The other tab is asking to be let in here, or was answered. */
  takingOver = false;

  /** Asks the other tab to let go, and reads the book anew before writing. */
  async takeOver(): Promise<void> {
    if (this.takingOver) return;
    this.takingOver = true;
    this.notify();
    try {
      const opened = await this.engine.ask('takeOver', { ask: true });
      if (opened !== null) this.takenOver(opened);
    } catch (cause) {
      this.trouble(cause);
    }
    this.takingOver = false;
    this.waitForBook();
    this.notify();
  }

  /** While this tab only reads and is looked at, it takes the book as soon as the other tab is closed. */
  private waitForBook(): void {
    if (!this.readOnly || this.takingOver) return;
    if (document.hidden) {
      void this.engine.ask('waitNoMore', {}).catch(() => undefined);
      return;
    }
    this.engine.ask('takeOver', { ask: false }).then((opened) => { if (opened !== null) this.takenOver(opened); }, (cause) => this.trouble(cause));
  }

  private takenOver(opened: Opened): void {
    this.show(opened, false);
    this.tell('This tab writes the book now. It was read anew, with everything the other tab saved.');
  }

  /* Answers, asked once for each state of the book. */

  private openings = 0;
  /** One opening of one book. Counts of changes begin anew with each. */
  get standing(): string {
    return `${this.book?.id ?? ''}/${this.openings}`;
  }
  private get stamp(): string {
    return `${this.standing} ${this.state?.revision ?? -1}`;
  }
  groups(): Promise<GroupsView> {
    return this.groupsKept.get(this.stamp, () => this.engine.ask('groups', {}));
  }
  problems(): Promise<ProblemGroup[]> {
    return this.problemsKept.get(this.stamp, () => this.engine.ask('problems', { perGroup: PROBLEMS_PER_KIND }));
  }
  compareResponses(): Promise<ResponseOption[]> {
    return this.responsesKept.get(this.stamp, () => this.engine.ask('compareResponses', {}));
  }

  comparable(): Promise<ComparableColumn[]> {
    return this.comparableKept.get(this.stamp, () => this.engine.ask('comparable', {}));
  }
  columns(sheet: string): Promise<ColumnInfo[]> {
    let kept = this.columnsKept.get(sheet);
    if (kept === undefined) this.columnsKept.set(sheet, (kept = new ByRevision<ColumnInfo[]>()));
    return kept.get(this.stamp, () => this.engine.ask('columns', { sheet }));
  }

  get readOnly(): boolean {
    return this.saved?.where === 'read-only';
  }
}

/** A plain sentence from whatever went wrong. */
export function words(cause: unknown): string {
  return cause instanceof Error ? cause.message : String(cause);
}

/** Small choices of this browser (theme, last book); lost without harm. */
export function remembered(key: string): string {
  try {
    return localStorage.getItem(key) ?? '';
  } catch {
    return '';
  }
}
export function remember(key: string, value: string): void {
  try {
    if (value === '') localStorage.removeItem(key);
    else localStorage.setItem(key, value);
  } catch {
    // blocked: the choice holds for this visit only
  }
}

export const app = new App();
