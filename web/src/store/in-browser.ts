/**
 * Books in the browser's own database (IndexedDB through idb).
 *
 * Enters: snapshots, journal records, imported files. Leaves: the same bytes.
 * Always true: every write is one transaction with durability "strict", finished before it is reported.
 * Never: awaits anything but the database inside a transaction (older Safari would close it).
 *
 * Stores: `books` (what is known of a book), `snapshots` (bytes by book, apart so that the list of books stays
 * quick), `journal` (records by [book, number]), `files` (imported files by [book, digest]).
 */
import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction } from 'idb';
import type { BookMeta, Device, JournalEntry, KeptFile } from './device.ts';

type Bytes = Uint8Array<ArrayBuffer>;
type Store = 'books' | 'snapshots' | 'journal' | 'files';
interface Schema extends DBSchema {
  books: { key: string; value: BookMeta };
  snapshots: { key: string; value: { id: string; bytes: Bytes } };
  journal: { key: [string, number]; value: JournalEntry };
  files: { key: [string, string]; value: KeptFile };
}

/** Every key that begins with this book's id. */
const ofBook = (id: string): IDBKeyRange => IDBKeyRange.bound([id], [id, []]);

export class InBrowser implements Device {
  readonly where = 'device';
  private constructor(private readonly db: IDBPDatabase<Schema>) {}

  /** Throws when the browser does not allow storage here. */
  static async open(): Promise<InBrowser> {
    const db = await openDB<Schema>('fairpen', 1, {
      upgrade(fresh) {
        fresh.createObjectStore('books', { keyPath: 'id' });
        fresh.createObjectStore('snapshots', { keyPath: 'id' });
        fresh.createObjectStore('journal', { keyPath: ['bookId', 'seq'] });
        fresh.createObjectStore('files', { keyPath: ['bookId', 'digest'] });
      },
    });
    return new InBrowser(db);
  }

  list(): Promise<BookMeta[]> {
    return this.db.getAll('books');
  }
  meta(id: string): Promise<BookMeta | undefined> {
    return this.db.get('books', id);
  }
  async snapshot(id: string): Promise<Bytes | undefined> {
    return (await this.db.get('snapshots', id))?.bytes;
  }
  records(id: string, after: number): Promise<JournalEntry[]> {
    return this.db.getAll('journal', IDBKeyRange.bound([id, after], [id, Infinity], true));
  }
  files(id: string): Promise<KeptFile[]> {
    return this.db.getAll('files', ofBook(id));
  }

  private async write(stores: Store[], act: (tx: IDBPTransaction<Schema, Store[], 'readwrite'>) => Promise<unknown>[]): Promise<void> {
    const tx = this.db.transaction(stores, 'readwrite', { durability: 'strict' });
    await Promise.all([...act(tx), tx.done]);
  }

  async putMeta(meta: BookMeta): Promise<void> {
    await this.write(['books'], (tx) => [tx.objectStore('books').put(meta)]);
  }
  async append(meta: BookMeta, entry: JournalEntry, file?: KeptFile): Promise<void> {
    await this.write(['books', 'journal', 'files'], (tx) => [
      tx.objectStore('journal').add(entry),
      tx.objectStore('books').put(meta),
      ...(file ? [tx.objectStore('files').put(file)] : []),
    ]);
  }
  async keepSnapshot(meta: BookMeta, snapshot: Bytes): Promise<void> {
    // One transaction: either the snapshot is there and the records are gone, or neither.
    await this.write(['books', 'snapshots', 'journal'], (tx) => [
      tx.objectStore('snapshots').put({ id: meta.id, bytes: snapshot }),
      tx.objectStore('books').put(meta),
      tx.objectStore('journal').delete(IDBKeyRange.bound([meta.id, 0], [meta.id, meta.snapshotSeq])),
    ]);
  }
  async keepOnlyFiles(id: string, wanted: ReadonlySet<string>): Promise<void> {
    const keys = await this.db.getAllKeys('files', ofBook(id));
    const over = keys.filter(([, digest]) => !wanted.has(digest));
    if (over.length > 0) await this.write(['files'], (tx) => over.map((key) => tx.objectStore('files').delete(key)));
  }
  async remove(id: string): Promise<void> {
    await this.write(['books', 'snapshots', 'journal', 'files'], (tx) => [
      tx.objectStore('books').delete(id),
      tx.objectStore('snapshots').delete(id),
      tx.objectStore('journal').delete(ofBook(id)),
      tx.objectStore('files').delete(ofBook(id)),
    ]);
  }
}
