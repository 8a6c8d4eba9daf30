/**
 * The keeping place of books: what it must do, whichever storage stands behind it.
 *
 * Enters: snapshots, journal records, imported files. Leaves: the same bytes, in order.
 * Always true: `append` returns only when the record is safe; a journal is trimmed only after the snapshot
 *   that covers it is safe.
 * Never: looks into the bytes.
 */

/** What is known of a kept book without opening it. */
export interface BookMeta {
  id: string;
  title: string;
  /** Milliseconds since 1970 of the last record or snapshot that is safe. */
  savedAt: number;
  /** An invented sample: the page says so at every turn. */
  sample: boolean;
  /** Journal records up to and including this one are in the snapshot. 0: no snapshot yet. */
  snapshotSeq: number;
  /** Last record written. */
  lastSeq: number;
  /** Records that stopped the engine when played again, left out since. */
  setAside: number[];
}

/** One accepted change. */
export interface JournalEntry {
  bookId: string;
  seq: number;
  record: Uint8Array<ArrayBuffer>;
  /** Milliseconds since 1970. */
  at: number;
}

/** A file that a record refers to. */
export interface KeptFile {
  bookId: string;
  digest: string;
  name: string;
  bytes: Uint8Array<ArrayBuffer>;
}

export interface Device {
  /** `device` survives the tab; `memory` does not. */
  readonly where: 'device' | 'memory';
  list(): Promise<BookMeta[]>;
  meta(id: string): Promise<BookMeta | undefined>;
  putMeta(meta: BookMeta): Promise<void>;
  snapshot(id: string): Promise<Uint8Array<ArrayBuffer> | undefined>;
  /** Records after `after`, in order. */
  records(id: string, after: number): Promise<JournalEntry[]>;
  files(id: string): Promise<KeptFile[]>;
  /** Writes the record, the file it refers to and the new state of the book as one act. */
  append(meta: BookMeta, entry: JournalEntry, file?: KeptFile): Promise<void>;
  /** Lets go of the files that no record needs any more. */
  keepOnlyFiles(id: string, wanted: ReadonlySet<string>): Promise<void>;
  /** Keeps a snapshot; only when it is safe are the records it covers let go. Files stay: redo may need them. */
  keepSnapshot(meta: BookMeta, snapshot: Uint8Array<ArrayBuffer>): Promise<void>;
  remove(id: string): Promise<void>;
}
