/**
 * The keeping place of books: what it must do, whichever storage stands behind it.
 *
 * Enters: snapshots, journal records, imported files, versions. Leaves: the same bytes, in order.
 * Always true: `append` returns only when the record is safe; a journal is trimmed only after the snapshot
 *   that covers it is safe; a record is never kept without the snapshot and the records that it follows.
 * Never: looks into the bytes.
 */
import type { Diary, Version } from './versions.ts';

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
  /** What was done since the last version was kept. */
  diary?: Diary;
  /** The state after record `seq` is kept as version `id`. */
  asVersion?: { id: number; seq: number };
  /** Versions that undo and redo lead to, where the steps of the session itself end. */
  steps?: BringBackSteps;
  /** Versions let go because space ran short. */
  versionsLetGo?: number;
}

/** A step that leads to a version. */
export interface VersionStep { id: number; words: string }

/** Good as long as the session's own steps are those since record `seq`. */
export interface BringBackSteps { seq: number; undo: VersionStep | null; redo: VersionStep | null }

/** A version with its bytes, on its way to the device. */
export interface NewVersion { version: Version; bytes: Uint8Array<ArrayBuffer> }

/** The book is not on the device any more, or not as this tab left it: a record alone would be of no use. */
export class Gone extends Error {
  constructor() {
    super('The browser has cleared what was kept of this book.');
  }
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
  /**
   * Keeps a snapshot, and with it a version; only when both are safe are the records that the snapshot covers let
   * go. Files stay: redo may need them. `aside`: records that could not be played; they are kept apart.
   */
  keepSnapshot(meta: BookMeta, snapshot: Uint8Array<ArrayBuffer>, version?: NewVersion, aside?: readonly JournalEntry[]): Promise<void>;
  /** Versions of a book, oldest first. */
  versions(id: string): Promise<Version[]>;
  versionBytes(id: string, digest: string): Promise<Uint8Array<ArrayBuffer> | undefined>;
  /** Keeps a version; bytes that another version has already are kept once. */
  keepVersion(meta: BookMeta, version: NewVersion): Promise<void>;
  /** Lets versions go, and the bytes that no other version has. */
  dropVersions(id: string, versions: readonly number[]): Promise<void>;
  remove(id: string): Promise<void>;
}
