/**
 * Books in memory only, for browsers that do not allow storage.
 *
 * Enters: snapshots, journal records, imported files, versions. Leaves: the same bytes, and all of them at once (`contents`)
 *   so that a restarted worker can go on.
 * Always true: says that it is memory (`where`).
 * Never: pretends that anything survives the tab.
 */
import { Gone, type BookMeta, type Device, type JournalEntry, type KeptFile, type NewVersion } from './device.ts';
import type { Version } from './versions.ts';

/** Everything held, as one message. */
export interface Contents {
  books: BookMeta[];
  snapshots: [string, Uint8Array<ArrayBuffer>][];
  journal: JournalEntry[];
  files: KeptFile[];
  versions: NewVersion[];
}

export class InMemory implements Device {
  readonly where = 'memory';
  private readonly books: Map<string, BookMeta>;
  private readonly snapshots: Map<string, Uint8Array<ArrayBuffer>>;
  private journal: JournalEntry[];
  private kept: KeptFile[];
  private held: NewVersion[];

  constructor(contents?: Contents) {
    this.books = new Map(contents?.books.map((meta) => [meta.id, meta]));
    this.snapshots = new Map(contents?.snapshots);
    this.journal = contents?.journal ?? [];
    this.kept = contents?.files ?? [];
    this.held = contents?.versions ?? [];
  }

  contents(): Contents {
    return { books: [...this.books.values()], snapshots: [...this.snapshots], journal: this.journal, files: this.kept, versions: this.held };
  }
  async list(): Promise<BookMeta[]> {
    return [...this.books.values()];
  }
  async meta(id: string): Promise<BookMeta | undefined> {
    return this.books.get(id);
  }
  async putMeta(meta: BookMeta): Promise<void> {
    this.books.set(meta.id, meta);
  }
  async snapshot(id: string): Promise<Uint8Array<ArrayBuffer> | undefined> {
    return this.snapshots.get(id);
  }
  async records(id: string, after: number): Promise<JournalEntry[]> {
    return this.journal.filter((entry) => entry.bookId === id && entry.seq > after).sort((a, b) => a.seq - b.seq);
  }
  async files(id: string): Promise<KeptFile[]> {
    return this.kept.filter((file) => file.bookId === id);
  }
  async append(meta: BookMeta, entry: JournalEntry, file?: KeptFile): Promise<void> {
    if (this.books.get(meta.id)?.lastSeq !== entry.seq - 1) throw new Gone();
    this.journal.push(entry);
    if (file) this.kept.push(file);
    this.books.set(meta.id, meta);
  }
  async keepSnapshot(meta: BookMeta, snapshot: Uint8Array<ArrayBuffer>, version?: NewVersion): Promise<void> {
    this.snapshots.set(meta.id, snapshot);
    this.journal = this.journal.filter((entry) => entry.bookId !== meta.id || entry.seq > meta.snapshotSeq);
    if (version) this.held.push(version);
    this.books.set(meta.id, meta);
  }
  async versions(id: string): Promise<Version[]> {
    return this.held.map((one) => one.version).filter((one) => one.bookId === id).sort((a, b) => a.id - b.id);
  }
  async versionBytes(id: string, digest: string): Promise<Uint8Array<ArrayBuffer> | undefined> {
    return this.held.find((one) => one.version.bookId === id && one.version.digest === digest)?.bytes;
  }
  async keepVersion(meta: BookMeta, version: NewVersion): Promise<void> {
    this.held.push(version);
    this.books.set(meta.id, meta);
  }
  async dropVersions(id: string, versions: readonly number[]): Promise<void> {
    this.held = this.held.filter((one) => one.version.bookId !== id || !versions.includes(one.version.id));
  }
  async keepOnlyFiles(id: string, wanted: ReadonlySet<string>): Promise<void> {
    this.kept = this.kept.filter((file) => file.bookId !== id || wanted.has(file.digest));
  }
  async remove(id: string): Promise<void> {
    this.books.delete(id);
    this.snapshots.delete(id);
    this.journal = this.journal.filter((entry) => entry.bookId !== id);
    this.kept = this.kept.filter((file) => file.bookId !== id);
    this.held = this.held.filter((one) => one.version.bookId !== id);
  }
}
