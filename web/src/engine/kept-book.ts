/**
 * One open book: the session of record and its journal.
 *
 * Enters: changes, imports, snapshots. Leaves: acknowledged changes.
 * Always true: a change is reported only after its record is safe on the device, or with the plain statement
 *   that it is in memory only.
 * Never: acknowledges out of order; writes happen one after another.
 */
import type { BookState } from './generated/core.js';
import { Session } from './generated/core.js';
import type { Bytes, Opened, Saved } from './protocol.ts';
import { claim, whenAsked, type Claim } from '../store/claim.ts';
import type { BookMeta, Device, JournalEntry, KeptFile } from '../store/device.ts';

/** A snapshot is taken when this many records came since the last one. */
const SNAPSHOT_AFTER_RECORDS = 40;
/** ... and nothing was changed for this long, in milliseconds. */
const IDLE_MS = 4_000;

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

export class KeptBook {
  private queue: Promise<unknown> = Promise.resolve();
  private idle: ReturnType<typeof setTimeout> | undefined;
  private failed = false;
  private closed = false;
  private deaf = (): void => undefined;

  private constructor(
    readonly session: Session,
    private meta: BookMeta,
    private readonly device: Device,
    private held: Claim,
  ) {}

  /** A new book from a prepared session; its first snapshot is safe when this returns. */
  static async keep(session: Session, device: Device, sample: boolean): Promise<KeptBook> {
    const state: BookState = session.state();
    const meta: BookMeta = { id: crypto.randomUUID(), title: state.title, savedAt: Date.now(), sample, snapshotSeq: 0, lastSeq: 0, setAside: [] };
    const book = new KeptBook(session, meta, device, await claim(meta.id));
    await book.guarded(() => device.keepSnapshot(meta, own(session.save())));
    return book;
  }

  /** A kept book: its snapshot, and the records since. `remarks` says what a person must know. */
  static async open(id: string, carefully: boolean, device: Device, remarks: string[], taken?: Claim): Promise<KeptBook> {
    const held = taken ?? (await claim(id));
    try {
      // Read under the claim: until then another tab may still write.
      const meta = await device.meta(id);
      if (meta === undefined) throw new Error('That book is not on this device any more.');
      const session = new Session();
      const snapshot = await device.snapshot(id);
      if (snapshot !== undefined) session.open(snapshot);
      const entries = (await device.records(id, meta.snapshotSeq)).filter((entry) => !meta.setAside.includes(entry.seq));
      await KeptBook.play(session, entries, carefully, device, meta, remarks, held.mine);
      if (meta.setAside.length > 0) {
        remarks.push(`${meta.setAside.length} change(s) stopped the engine and were set aside. Everything else is here.`);
      }
      return new KeptBook(session, meta, device, held);
    } catch (cause) {
      held.release();
      throw cause;
    }
  }

  private static async play(
    session: Session, entries: JournalEntry[], carefully: boolean, device: Device, meta: BookMeta, remarks: string[], mine: boolean,
  ): Promise<void> {
    const wanted = new Set(entries.length === 0 ? [] : session.need_files(joined(entries.map((entry) => entry.record))));
    // Undo and redo begin anew with an opened book, so a file that no record names is of no more use.
    if (mine) await device.keepOnlyFiles(meta.id, wanted).catch(() => undefined);
    if (entries.length === 0) return;
    if (wanted.size > 0) {
      for (const file of await device.files(meta.id)) {
        if (wanted.has(file.digest)) session.provide_file(file.name, file.bytes);
      }
    }
    for (const some of carefully ? entries.map((entry) => [entry]) : [entries]) {
      try {
        const report = session.replay(joined(some.map((entry) => entry.record)));
        if (report.setAside > 0 && report.message !== '') remarks.push(report.message);
      } catch (cause) {
        const first = some[0];
        if (carefully && first !== undefined && cause instanceof WebAssembly.RuntimeError) {
          await device.putMeta({ ...meta, setAside: [...meta.setAside, first.seq] });
        }
        throw cause;
      }
    }
  }

  get id(): string {
    return this.meta.id;
  }

  saved(): Saved {
    if (!this.held.mine) return { where: 'read-only', at: this.meta.savedAt };
    return { where: this.failed ? 'memory' : this.device.where, at: this.meta.savedAt };
  }

  opened(remarks: string[]): Opened {
    return { book: this.meta, state: this.session.state(), saved: this.saved(), remarks };
  }

  /** Makes a change and keeps its record. `make` returns the record, empty when nothing changed. */
  change(make: () => { record: Uint8Array; file?: Omit<KeptFile, 'bookId'> }): Promise<{ state: BookState; saved: Saved }> {
    return this.inTurn(async () => {
      if (!this.held.mine) throw new Error('This book is open in another tab. Change it there, or choose "Take over here" first.');
      const { record, file } = make();
      if (record.length > 0) {
        const state = this.session.state();
        const now = Date.now();
        const seq = this.meta.lastSeq + 1;
        this.meta = { ...this.meta, title: state.title, savedAt: this.failed ? this.meta.savedAt : now, lastSeq: seq };
        const entry = { bookId: this.id, seq, record: own(record), at: now };
        await this.guarded(() => this.device.append(this.meta, entry, file && { ...file, bookId: this.id }));
        this.snapshotLater(file !== undefined);
      }
      return { state: this.session.state(), saved: this.saved() };
    });
  }

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
    this.session.free();
  }

  private inTurn<T>(act: () => Promise<T>): Promise<T> {
    const turn = this.queue.then(act, act);
    this.queue = turn.catch(() => undefined);
    return turn;
  }

  /** Storage that fails (full, blocked) is said in `saved`, never hidden; the change itself stays. */
  private async guarded(write: () => Promise<void>): Promise<void> {
    try {
      await write();
    } catch (cause) {
      this.failed = true;
      console.warn('The change could not be kept on this device.', cause);
    }
  }

  private snapshotLater(soon: boolean): void {
    clearTimeout(this.idle);
    const due = this.failed || soon || this.meta.lastSeq - this.meta.snapshotSeq >= SNAPSHOT_AFTER_RECORDS;
    if (due) this.idle = setTimeout(() => void this.inTurn(() => this.snapshot()), IDLE_MS);
  }

  private async snapshot(): Promise<void> {
    if (this.closed || !this.held.mine) return;
    const meta = { ...this.meta, snapshotSeq: this.meta.lastSeq, savedAt: Date.now() };
    try {
      await this.device.keepSnapshot(meta, own(this.session.save()));
      this.meta = meta;
      this.failed = false;
    } catch (cause) {
      if (cause instanceof WebAssembly.RuntimeError) throw cause;
      console.warn('The snapshot could not be kept on this device.', cause);
    }
  }
}
