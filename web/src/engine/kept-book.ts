/**
 * One open book: the session of record, its journal and its versions.
 *
 * Enters: changes, imports, snapshots, versions to bring back. Leaves: acknowledged changes.
 * Always true: a change is reported only after its record is safe on the device, or with the plain statement
 *   that it is in memory only; then the whole book is written again and again until it is safe.
 * Never: acknowledges out of order; writes happen one after another. Never lets a version go that undo leads to
 *   without saying so when it is asked for.
 */
import type { BookDifferenceInfo, BookState } from './generated/core.js';
import { Session } from './generated/core.js';
import { BookVersions, moment, type VersionList } from './book-versions.ts';
import type { Bytes, Changed, Opened, Saved } from './protocol.ts';
import { claim, whenAsked, type Claim } from '../store/claim.ts';
import { Gone, type BookMeta, type BringBackSteps, type Device, type JournalEntry, type KeptFile, type NewVersion, type VersionStep } from '../store/device.ts';
import { dayIsOver, noDiary, noted, type VersionKind } from '../store/versions.ts';

/** A snapshot is taken when this many records came since the last one. */
const SNAPSHOT_AFTER_RECORDS = 40;
/** ... and nothing was changed for this long, in milliseconds. */
const IDLE_MS = 4_000;
/** A write that failed is tried again after this long, then after twice as long, up to a minute. */
const RETRY_MS = 2_000;
const LONGEST_RETRY_MS = 60_000;
/** After opening on a later day, the end of the day before is kept once the page has drawn itself. */
const AFTER_OPENING_MS = 1_500;

/** What the page is told between its own questions. */
export interface News {
  saved(saved: Saved): void;
  remark(remark: string): void;
}

/** One change to make. `make` gives its record, empty when nothing changed. */
export interface Making {
  make: () => { record: Uint8Array; file?: Omit<KeptFile, 'bookId'> };
  /** `aside`: no step of undo, and nothing for the diary. */
  way?: 'done' | 'undone' | 'redone' | 'aside';
  /** Keeps a version first. */
  before?: VersionKind;
}

const isFull = (cause: unknown): boolean => cause instanceof DOMException && cause.name === 'QuotaExceededError';

export const own = (bytes: Uint8Array): Bytes => new Uint8Array(bytes);

function joined(parts: readonly Uint8Array[]): Bytes {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** Each is a whole book in memory; further back undo leads to the book as saved, without its own steps. */
const MOST_PARKED = 3;

/** A book that a version took the place of, with its steps; `undo` is where its own steps end. */
interface Parked { version: number; session: Session; undo: VersionStep | null }

export class KeptBook {
  private queue: Promise<unknown> = Promise.resolve();
  private idle: ReturnType<typeof setTimeout> | undefined;
  private retry = RETRY_MS;
  private failed = false;
  private closed = false;
  private deaf = (): void => undefined;
  private readonly kept: BookVersions;
  /** The books that versions took the place of in this tab, the last one last: undo leads back to their own steps too. */
  private parked: Parked[] = [];

  private constructor(
    public session: Session,
    private meta: BookMeta,
    private readonly device: Device,
    private held: Claim,
    private readonly news: News,
  ) {
    this.kept = new BookVersions(device, meta.id);
  }

  /** A new book from a prepared session; its first snapshot is safe when this returns. */
  static async keep(session: Session, device: Device, sample: boolean, news: News): Promise<KeptBook> {
    const state: BookState = session.state();
    const meta: BookMeta = { id: crypto.randomUUID(), title: state.title, savedAt: Date.now(), sample, snapshotSeq: 0, lastSeq: 0, setAside: [] };
    const book = new KeptBook(session, meta, device, await claim(meta.id), news);
    await book.guarded(() => device.keepSnapshot(meta, own(session.save())));
    return book;
  }

  /** A kept book: its snapshot, and the records since. `remarks` says what a person must know. */
  static async open(id: string, carefully: boolean, device: Device, news: News, remarks: string[], taken?: Claim): Promise<KeptBook> {
    const held = taken ?? (await claim(id));
    try {
      // Read under the claim: until then another tab may still write.
      const meta = await device.meta(id);
      if (meta === undefined) throw new Error('That book is not on this device any more.');
      const session = new Session();
      const snapshot = await device.snapshot(id);
      if (snapshot === undefined) throw new Error('What was saved of that book is not on this device any more. Open a copy that you saved as a file.');
      session.open(snapshot);
      const entries = (await device.records(id, meta.snapshotSeq)).filter((entry) => !meta.setAside.includes(entry.seq));
      const whole = await KeptBook.play(session, entries, carefully, device, meta, remarks, held.mine);
      if (meta.setAside.length > 0) {
        remarks.push(`${meta.setAside.length} change(s) stopped the engine and were set aside. Everything else is here.`);
      }
      // Undo leads back over a version only as long as the steps since are all in the session.
      const steps = meta.steps?.seq === meta.snapshotSeq ? { steps: meta.steps } : {};
      const { steps: _gone, ...rest } = meta;
      const book = new KeptBook(session, { ...rest, ...steps }, device, held, news);
      if (!whole && held.mine) await book.keepApart(snapshot, entries, remarks);
      else book.idle = setTimeout(() => void book.inTurn(() => book.dayEnded()), AFTER_OPENING_MS);
      return book;
    } catch (cause) {
      held.release();
      throw cause;
    }
  }

  /** Gives whether everything was brought back. */
  private static async play(
    session: Session, entries: JournalEntry[], carefully: boolean, device: Device, meta: BookMeta, remarks: string[], mine: boolean,
  ): Promise<boolean> {
    const wanted = new Set(entries.length === 0 ? [] : session.need_files(joined(entries.map((entry) => entry.record))));
    // Undo and redo begin anew with an opened book, so a file that no record names is of no more use.
    if (mine) await device.keepOnlyFiles(meta.id, wanted).catch(() => undefined);
    if (entries.length === 0) return true;
    if (wanted.size > 0) {
      for (const file of await device.files(meta.id)) {
        if (wanted.has(file.digest)) session.provide_file(file.name, file.bytes);
      }
    }
    let whole = true;
    for (const some of carefully ? entries.map((entry) => [entry]) : [entries]) {
      try {
        const report = session.replay(joined(some.map((entry) => entry.record)));
        if (report.setAside > 0) {
          whole = false;
          remarks.push(report.message);
        }
      } catch (cause) {
        const first = some[0];
        if (carefully && first !== undefined && cause instanceof WebAssembly.RuntimeError) {
          await device.putMeta({ ...meta, setAside: [...meta.setAside, first.seq] });
        }
        throw cause;
      }
    }
    return whole;
  }

  /**
   * Records could not be played: they are kept apart, and the book before them as a version. The book as it stands
   * becomes the snapshot at once, so that later records do not stand behind damaged ones.
   */
  private async keepApart(snapshot: Bytes, entries: JournalEntry[], remarks: string[]): Promise<void> {
    const before = new Session();
    try {
      before.open(snapshot);
      const { diary: _since, ...meta } = this.meta;
      const version = await this.kept.made(snapshot, before.state(), meta, 'trouble');
      const next = { ...this.meta, snapshotSeq: this.meta.lastSeq, savedAt: Date.now() };
      await this.write(() => this.device.keepSnapshot(next, own(this.session.save()), version, entries));
      this.adopt(next);
      remarks.push('What was set aside is kept apart on this device, and the book before it is among the earlier versions.');
    } catch (cause) {
      if (cause instanceof WebAssembly.RuntimeError) throw cause;
      this.fail(cause);
    } finally {
      before.free();
    }
  }

  get id(): string {
    return this.meta.id;
  }

  saved(): Saved {
    if (!this.held.mine) return { where: 'read-only', at: this.meta.savedAt };
    return { where: this.failed ? 'memory' : this.device.where, at: this.meta.savedAt };
  }

  /** The state of the session, where undo and redo may lead on to a version. */
  state(): BookState {
    const state = this.session.state();
    const { steps } = this.meta;
    return { ...state, undo: state.undo ?? steps?.undo?.words, redo: state.redo ?? steps?.redo?.words };
  }

  opened(remarks: string[]): Opened {
    return { book: this.meta, state: this.state(), saved: this.saved(), remarks };
  }

  /** Makes a change and keeps its record. */
  change(making: Making): Promise<Changed> {
    return this.inTurn(() => this.changeNow(making));
  }

  /** Takes the last step back: one of the session, or the bringing back of a version. */
  undo(): Promise<Changed> {
    return this.inTurn(() => this.step('undo', { make: () => ({ record: this.session.undo() }), way: 'undone' }));
  }
  redo(): Promise<Changed> {
    return this.inTurn(() => this.step('redo', { make: () => ({ record: this.session.redo() }), way: 'redone' }));
  }

  private async step(which: 'undo' | 'redo', making: Making): Promise<Changed> {
    const to = this.session.state()[which] == null ? this.meta.steps?.[which] : null;
    if (to == null) return this.changeNow(making);
    const opened = await this.bringBackNow(to.id, which, to.words);
    return { state: opened.state, saved: opened.saved, opened };
  }

  private async changeNow({ make, way = 'done', before }: Making): Promise<Changed> {
    this.refuseReading();
    await this.dayEnded();
    if (before !== undefined) await this.keepVersion(before);
    const lastWords = way === 'undone' ? this.session.state().undo : undefined;
    const { record, file } = make();
    if (record.length > 0) {
      const state = this.session.state();
      const now = Date.now();
      const seq = this.meta.lastSeq + 1;
      const { steps } = this.meta;
      const next: BookMeta = {
        ...this.meta,
        title: state.title,
        lastSeq: seq,
        savedAt: now,
        ...(way === 'aside' ? {} : { diary: noted(this.meta.diary ?? noDiary(), (way === 'undone' ? lastWords : state.undo) ?? 'a change', way === 'undone' ? 'undone' : 'done', now) }),
        ...(steps && way === 'done' ? { steps: { ...steps, redo: null } } : {}),
      };
      const { savedAt } = this.meta;
      this.meta = next;
      if (!this.failed) {
        const entry = { bookId: this.id, seq, record: own(record), at: now };
        await this.guarded(() => this.device.append(next, entry, file && { ...file, bookId: this.id }));
      }
      if (this.failed) this.meta = { ...this.meta, savedAt };
      this.snapshotLater(file !== undefined);
    }
    return { state: this.state(), saved: this.saved() };
  }

  private refuseReading(): void {
    if (!this.held.mine) throw new Error('This book is open in another tab. Change it there, or choose "Take over here" first.');
  }

  /* Versions. */

  versions(): Promise<VersionList> {
    return this.kept.list(this.meta);
  }

  async version(id: number): Promise<NewVersion> {
    return this.kept.find(id);
  }

  async difference(id: number): Promise<BookDifferenceInfo> {
    return this.session.difference((await this.kept.find(id)).bytes);
  }

  /** Puts a version in the place of the book. The book as it stands becomes a version first, and undo leads back to it. */
  bringBack(id: number): Promise<Opened> {
    return this.inTurn(() => this.bringBackNow(id, 'new', ''));
  }

  private async bringBackNow(id: number, way: 'new' | 'undo' | 'redo', words: string): Promise<Opened> {
    this.refuseReading();
    if (this.failed) throw new Error('The last changes are in this tab only, so nothing was brought back. Save a copy first.');
    await this.dayEnded();
    const { version, bytes } = await this.kept.find(id);
    const said = words === '' ? `bringing back the book of ${moment(version.at)}` : words;
    const parked = way === 'undo' && this.parked.at(-1)?.version === id ? this.parked.pop() : undefined;
    const next = parked?.session ?? new Session();
    try {
      if (parked === undefined) next.open(bytes);
      const now = Date.now();
      const seq = this.meta.lastSeq + 1;
      const kept = await this.asVersion();
      const present = kept === undefined ? await this.kept.made(own(this.session.save()), this.session.state(), this.meta, 'bring-back') : undefined;
      const back = { id: kept ?? present?.version.id ?? 0, words: said };
      const steps: BringBackSteps = way === 'undo' ? { seq, undo: parked?.undo ?? null, redo: back } : { seq, undo: back, redo: null };
      const before = this.meta.steps?.undo ?? null;
      const diary = noted(noDiary(), said, way === 'undo' ? 'undone' : 'done', now);
      const { asVersion: _before, ...rest } = this.meta;
      const meta: BookMeta = { ...rest, title: next.state().title, savedAt: now, lastSeq: seq, snapshotSeq: seq, setAside: [], diary, steps };
      await this.write(() => this.device.keepSnapshot(meta, bytes, present));
      this.adopt(meta);
      if (way !== 'undo') this.park({ version: back.id, session: this.session, undo: before });
      else this.session.free();
    } catch (cause) {
      if (parked === undefined) next.free();
      else this.parked.push(parked);
      if (isFull(cause)) throw new Error('This device has no room to keep the present state first, so nothing was brought back. Save a copy, make room, and try again.');
      throw cause;
    }
    this.session = next;
    await this.thin();
    return this.opened([]);
  }

  private park(left: Parked): void {
    // What had been taken back when the version came is done with: bringing back is a step like any other.
    if (left.session.state().redo != null) {
      left.session.free();
      this.leaveParked(0);
      return;
    }
    this.parked.push(left);
    this.leaveParked(MOST_PARKED);
  }

  private leaveParked(most: number): void {
    while (this.parked.length > most) this.parked.shift()?.session.free();
  }

  private async dayEnded(): Promise<void> {
    if (this.held.mine && !this.closed && dayIsOver(this.meta.diary, Date.now())) await this.keepVersion('day');
  }

  /** Keeps the book as it stands as a version; a device that has no room for it is said, and the change goes on. */
  private async keepVersion(kind: VersionKind): Promise<void> {
    if (this.failed) return;
    const state = this.session.state();
    if ((await this.asVersion()) !== undefined) {
      if (kind === 'day') this.meta = { ...this.meta, diary: noDiary() };
      return;
    }
    if (kind === 'import' && state.sheets.every((sheet) => sheet.nRows === 0)) return;
    try {
      const made = await this.kept.made(own(this.session.save()), state, this.meta, kind);
      const meta = { ...this.meta, diary: noDiary(), asVersion: { id: made.version.id, seq: this.meta.lastSeq } };
      await this.write(() => this.device.keepVersion(meta, made));
      this.adopt(meta);
      await this.thin();
    } catch (cause) {
      if (cause instanceof WebAssembly.RuntimeError) throw cause;
      if (cause instanceof Gone) this.fail(cause);
      else this.news.remark('No version of the book as it stood could be kept: this device has no room for it. Save a copy as a file.');
    }
  }

  /** The version that the book as it stands is already, if it was not let go since. */
  private async asVersion(): Promise<number | undefined> {
    const { asVersion, lastSeq } = this.meta;
    if (asVersion?.seq !== lastSeq) return undefined;
    return (await this.device.versions(this.id)).find((one) => one.id === asVersion.id)?.id;
  }

  /** What is known of the book after a write, during which versions may have gone. */
  private adopt(meta: BookMeta): void {
    const { versionsLetGo } = this.meta;
    this.meta = versionsLetGo === undefined ? meta : { ...meta, versionsLetGo };
  }

  private async thin(): Promise<void> {
    const n = await this.kept.thin(Date.now()).catch(() => 0);
    if (n > 0) this.meta = { ...this.meta, versionsLetGo: (this.meta.versionsLetGo ?? 0) + n };
  }

  /* The other tab. */

  /** Calls back when another tab asks for this book while it is written here. */
  onAsked(asked: () => void): void {
    this.deaf();
    this.deaf = whenAsked(this.id, () => { if (this.held.mine) asked(); });
  }

  /** Lets another tab write, once everything accepted here is safe. A book that the device did not keep stays. */
  letGo(): Promise<Saved> {
    return this.inTurn(async () => {
      if (!this.held.mine) return this.saved();
      if (this.failed) await this.snapshot();
      if (this.failed || this.device.where === 'memory') throw new Error('The last changes are in this tab only, so it keeps the book.');
      clearTimeout(this.idle);
      const { held } = this;
      this.held = { mine: false, release() {} };
      held.release();
      return this.saved();
    });
  }

  get mine(): boolean {
    return this.held.mine;
  }

  async close(): Promise<void> {
    this.deaf();
    this.closed = true;
    clearTimeout(this.idle);
    await this.queue.catch(() => undefined);
    this.held.release();
    this.leaveParked(0);
    this.session.free();
  }

  /* Writing. */

  private inTurn<T>(act: () => Promise<T>): Promise<T> {
    const turn = this.queue.then(act, act);
    this.queue = turn.catch(() => undefined);
    return turn;
  }

  /** Changes come before versions: on a full device the older versions make room. */
  private async write(act: () => Promise<void>): Promise<void> {
    for (;;) {
      try {
        await act();
        return;
      } catch (cause) {
        const n = isFull(cause) ? await this.kept.makeRoom() : 0;
        if (n === 0) throw cause;
        this.meta = { ...this.meta, versionsLetGo: (this.meta.versionsLetGo ?? 0) + n };
        this.news.remark('Room on this device ran short: older versions of this book were let go so that changes can be kept.');
      }
    }
  }

  /** Storage that fails (full, blocked, cleared) is said in `saved`, never hidden; the change itself stays. */
  private async guarded(act: () => Promise<void>): Promise<void> {
    try {
      await this.write(act);
    } catch (cause) {
      this.fail(cause);
    }
  }

  private fail(cause: unknown): void {
    if (!this.failed && cause instanceof Gone) {
      this.news.remark('The browser cleared what it kept of this book. Everything is still in this tab and is being written again. Save a copy as a file now.');
    }
    this.failed = true;
    this.retry = cause instanceof Gone ? 0 : RETRY_MS;
    console.warn('The change could not be kept on this device.', cause);
    this.snapshotLater(true);
  }

  /** The database was closed under the page: is the book still there? */
  lookAgain(): Promise<void> {
    return this.inTurn(async () => {
      if (this.closed || this.failed || !this.held.mine) return;
      try {
        if ((await this.device.meta(this.id))?.lastSeq !== this.meta.lastSeq) throw new Gone();
      } catch (cause) {
        this.fail(cause);
        this.news.saved(this.saved());
      }
    });
  }

  private snapshotLater(soon: boolean): void {
    const due = this.failed || soon || this.meta.lastSeq - this.meta.snapshotSeq >= SNAPSHOT_AFTER_RECORDS;
    if (!due || this.closed) return;
    clearTimeout(this.idle);
    this.idle = setTimeout(() => void this.inTurn(() => this.snapshot()), this.failed ? this.retry : IDLE_MS);
  }

  private async snapshot(): Promise<void> {
    if (this.closed || !this.held.mine) return;
    const meta = { ...this.meta, snapshotSeq: this.meta.lastSeq, savedAt: Date.now() };
    try {
      await this.write(() => this.device.keepSnapshot(meta, own(this.session.save())));
      this.meta = { ...this.meta, snapshotSeq: meta.snapshotSeq, savedAt: meta.savedAt };
      if (this.failed) {
        this.failed = false;
        this.retry = RETRY_MS;
        this.news.saved(this.saved());
      }
    } catch (cause) {
      if (cause instanceof WebAssembly.RuntimeError) throw cause;
      console.warn('The snapshot could not be kept on this device.', cause);
      if (this.failed) {
        this.retry = Math.min(LONGEST_RETRY_MS, Math.max(RETRY_MS, this.retry * 2));
        this.snapshotLater(true);
      }
    }
  }
}
