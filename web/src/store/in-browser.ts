/**
 * Books in the browser's own database (IndexedDB through idb).
 *
 * Enters: snapshots, journal records, imported files, versions. Leaves: the same bytes.
 * Always true: every write is one transaction with durability "strict", finished before it is reported; a database
 *   that was closed under the page (cleared, evicted) is opened anew, and a record is refused there.
 * Never: awaits anything but the database inside a transaction (older Safari would close it).
 *
 * Stores: `books` (what is known of a book), `snapshots` (bytes by book, apart so that the list of books stays
 * quick), `journal` (records by [book, number]), `files` (imported files by [book, digest]), `versions` and
 * `versionBytes` (the same for versions), `aside` (records that could not be played).
 */
import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction } from 'idb';
import { Gone, type BookMeta, type Device, type JournalEntry, type KeptFile, type NewVersion } from './device.ts';
import type { Version } from './versions.ts';

type Bytes = Uint8Array<ArrayBuffer>;
type Store = 'books' | 'snapshots' | 'journal' | 'files' | 'versions' | 'versionBytes' | 'aside';
/** Names of errors that pass by themselves. */
const PASSING = ['AbortError', 'InvalidStateError', 'UnknownError'];
/** Version of the database: 1 had no versions. */
const FORM = 2;
interface Schema extends DBSchema {
  books: { key: string; value: BookMeta };
  snapshots: { key: string; value: { id: string; bytes: Bytes } };
  journal: { key: [string, number]; value: JournalEntry };
  files: { key: [string, string]; value: KeptFile };
  versions: { key: [string, number]; value: Version };
  versionBytes: { key: [string, string]; value: { bookId: string; digest: string; bytes: Bytes } };
  aside: { key: [string, number]; value: JournalEntry };
}
type Writing = IDBPTransaction<Schema, Store[], 'readwrite'>;

/** The database was written by a later version of the program. */
export class Later extends Error {}

/** Every key that begins with this book's id. */
const ofBook = (id: string): IDBKeyRange => IDBKeyRange.bound([id], [id, []]);

export class InBrowser implements Device {
  readonly where = 'device';
  private db: IDBPDatabase<Schema> | undefined;
  private constructor(private readonly blocked: () => void, private readonly lost: () => void) {}

  /**
   * Throws when the browser does not allow storage here. `blocked` is called while a tab with an older program keeps
   * its own form of the database open, `lost` when the database was closed under the page.
   */
  static async open(blocked: () => void, lost: () => void): Promise<InBrowser> {
    const device = new InBrowser(blocked, lost);
    await device.ready();
    return device;
  }

  /** The open database. While the browser still clears it, opening fails for a moment. */
  private async ready(attempts = 4): Promise<IDBPDatabase<Schema>> {
    if (this.db !== undefined) return this.db;
    try {
      return await this.opened();
    } catch (cause) {
      if (attempts <= 1 || !(cause instanceof DOMException) || !PASSING.includes(cause.name)) throw cause;
      await new Promise((resolve) => setTimeout(resolve, 50));
      return this.ready(attempts - 1);
    }
  }

  private async opened(): Promise<IDBPDatabase<Schema>> {
    try {
      const db = await openDB<Schema>('fairpen', FORM, {
        upgrade(fresh, before) {
          if (before < 1) {
            fresh.createObjectStore('books', { keyPath: 'id' });
            fresh.createObjectStore('snapshots', { keyPath: 'id' });
            fresh.createObjectStore('journal', { keyPath: ['bookId', 'seq'] });
            fresh.createObjectStore('files', { keyPath: ['bookId', 'digest'] });
          }
          if (before < 2) {
            fresh.createObjectStore('versions', { keyPath: ['bookId', 'id'] });
            fresh.createObjectStore('versionBytes', { keyPath: ['bookId', 'digest'] });
            fresh.createObjectStore('aside', { keyPath: ['bookId', 'seq'] });
          }
        },
        blocked: this.blocked,
        // A later program waits, or the database is being deleted: it is let go, and opened anew when it is needed.
        blocking: (_now, _next, event) => {
          (event.target as IDBDatabase).close();
          this.db = undefined;
          this.lost();
        },
        terminated: () => {
          this.db = undefined;
          this.lost();
        },
      });
      this.db = db;
      return db;
    } catch (cause) {
      if (cause instanceof DOMException && cause.name === 'VersionError') throw new Later('The books on this device were kept by a later version of Fairpen. Load the page anew to get it.');
      throw cause;
    }
  }

  async list(): Promise<BookMeta[]> {
    return (await this.ready()).getAll('books');
  }
  async meta(id: string): Promise<BookMeta | undefined> {
    return (await this.ready()).get('books', id);
  }
  async snapshot(id: string): Promise<Bytes | undefined> {
    return (await (await this.ready()).get('snapshots', id))?.bytes;
  }
  async records(id: string, after: number): Promise<JournalEntry[]> {
    return (await this.ready()).getAll('journal', IDBKeyRange.bound([id, after], [id, Infinity], true));
  }
  async files(id: string): Promise<KeptFile[]> {
    return (await this.ready()).getAll('files', ofBook(id));
  }
  async versions(id: string): Promise<Version[]> {
    return (await this.ready()).getAll('versions', ofBook(id));
  }
  async versionBytes(id: string, digest: string): Promise<Bytes | undefined> {
    return (await (await this.ready()).get('versionBytes', [id, digest]))?.bytes;
  }

  /** `follows`: the number of the last record that must be there, so that nothing is kept without what it rests on. */
  private async write(stores: Store[], act: (tx: Writing) => Promise<unknown>[], follows?: { id: string; seq: number }): Promise<void> {
    const tx = (await this.ready()).transaction(stores, 'readwrite', { durability: 'strict' });
    try {
      if (follows !== undefined && (await tx.objectStore('books').get(follows.id))?.lastSeq !== follows.seq) throw new Gone();
      // What fails ends the transaction, whose own error says why (a full device is told only there).
      for (const part of act(tx)) part.catch(() => undefined);
    } catch (cause) {
      tx.abort();
      await tx.done.catch(() => undefined);
      throw cause;
    }
    await tx.done;
  }

  async putMeta(meta: BookMeta): Promise<void> {
    await this.write(['books'], (tx) => [tx.objectStore('books').put(meta)], { id: meta.id, seq: meta.lastSeq });
  }
  async append(meta: BookMeta, entry: JournalEntry, file?: KeptFile): Promise<void> {
    await this.write(['books', 'journal', 'files'], (tx) => [
      tx.objectStore('journal').add(entry),
      tx.objectStore('books').put(meta),
      ...(file ? [tx.objectStore('files').put(file)] : []),
    ], { id: meta.id, seq: entry.seq - 1 });
  }
  async keepSnapshot(meta: BookMeta, snapshot: Bytes, version?: NewVersion, aside: readonly JournalEntry[] = []): Promise<void> {
    // One transaction: either the snapshot is there and the records are gone, or neither.
    await this.write(['books', 'snapshots', 'journal', 'versions', 'versionBytes', 'aside'], (tx) => [
      tx.objectStore('snapshots').put({ id: meta.id, bytes: snapshot }),
      tx.objectStore('books').put(meta),
      tx.objectStore('journal').delete(IDBKeyRange.bound([meta.id, 0], [meta.id, meta.snapshotSeq])),
      ...aside.map((entry) => tx.objectStore('aside').put(entry)),
      ...(version ? putVersion(tx, version) : []),
    ]);
  }
  async keepVersion(meta: BookMeta, version: NewVersion): Promise<void> {
    await this.write(['books', 'versions', 'versionBytes'], (tx) => [tx.objectStore('books').put(meta), ...putVersion(tx, version)], { id: meta.id, seq: meta.lastSeq });
  }
  async dropVersions(id: string, versions: readonly number[]): Promise<void> {
    if (versions.length === 0) return;
    const all = await this.versions(id);
    const wanted = new Set(all.filter((one) => !versions.includes(one.id)).map((one) => one.digest));
    const over = new Set(all.map((one) => one.digest).filter((digest) => !wanted.has(digest)));
    await this.write(['versions', 'versionBytes'], (tx) => [
      ...versions.map((version) => tx.objectStore('versions').delete([id, version])),
      ...[...over].map((digest) => tx.objectStore('versionBytes').delete([id, digest])),
    ]);
  }
  async keepOnlyFiles(id: string, wanted: ReadonlySet<string>): Promise<void> {
    const keys = await (await this.ready()).getAllKeys('files', ofBook(id));
    const over = keys.filter(([, digest]) => !wanted.has(digest));
    if (over.length > 0) await this.write(['files'], (tx) => over.map((key) => tx.objectStore('files').delete(key)));
  }
  async remove(id: string): Promise<void> {
    const stores = ['snapshots', 'books', 'journal', 'files', 'versions', 'versionBytes', 'aside'] as const;
    await this.write([...stores], (tx) => stores.map((store) => tx.objectStore(store).delete(store === 'books' || store === 'snapshots' ? id : ofBook(id))));
  }
}

function putVersion(tx: Writing, { version, bytes }: NewVersion): Promise<unknown>[] {
  return [
    tx.objectStore('versions').put(version),
    tx.objectStore('versionBytes').put({ bookId: version.bookId, digest: version.digest, bytes }),
  ];
}
