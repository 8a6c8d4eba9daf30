/**
 * The versions of one book on the device.
 *
 * Enters: the session as it stands, the time. Leaves: versions made, listed, let go.
 * Always true: a version is a whole saved book, which opens without anything else.
 * Never: changes the book.
 */
import { digestOf } from './import-reading.ts';
import type { BookState } from './generated/core.js';
import type { BookMeta, Device, NewVersion } from '../store/device.ts';
import { bytesOf, mostBytes, noDiary, toLetGo, type Version, type VersionKind } from '../store/versions.ts';

/** The versions as the page lists them. */
export interface VersionList {
  versions: Version[];
  /** Bytes they take, and may take at most. */
  bytes: number;
  most: number;
  /** How many were let go because space ran short. */
  letGo: number;
}

/** A moment as people say it. */
export const moment = (at: number): string =>
  new Date(at).toLocaleString('en-US', { month: 'short', day: 'numeric', year: 'numeric', hour: 'numeric', minute: '2-digit' });

export const rowsOf = (state: BookState): { label: string; n: number }[] =>
  state.sheets.filter((sheet) => sheet.nRows > 0).map((sheet) => ({ label: sheet.label, n: sheet.nRows }));

/** The room that the browser gives this site. */
async function room(): Promise<number | undefined> {
  const storage = (navigator as { storage?: StorageManager }).storage;
  if (storage?.estimate === undefined) return undefined;
  try {
    return (await storage.estimate()).quota;
  } catch {
    return undefined;
  }
}

export class BookVersions {
  constructor(private readonly device: Device, private readonly bookId: string) {}

  async list(meta: BookMeta): Promise<VersionList> {
    const versions = await this.device.versions(this.bookId);
    return { versions, bytes: bytesOf(versions), most: mostBytes(await room()), letGo: meta.versionsLetGo ?? 0 };
  }

  async find(id: number): Promise<NewVersion> {
    const version = (await this.device.versions(this.bookId)).find((one) => one.id === id);
    const bytes = version && (await this.device.versionBytes(this.bookId, version.digest));
    if (version === undefined || bytes === undefined) throw new Error('That version is not on this device any more.');
    return { version, bytes };
  }

  /** The book as it stands, ready to be kept. */
  async made(bytes: Uint8Array<ArrayBuffer>, state: BookState, meta: BookMeta, kind: VersionKind): Promise<NewVersion> {
    const diary = meta.diary ?? noDiary();
    const before = await this.device.versions(this.bookId);
    return {
      bytes,
      version: {
        bookId: this.bookId,
        id: 1 + before.reduce((most, one) => Math.max(most, one.id), meta.asVersion?.id ?? 0),
        kind,
        at: diary.at > 0 ? diary.at : meta.savedAt,
        title: state.title,
        acts: diary.acts,
        more: diary.more,
        rows: rowsOf(state),
        digest: await digestOf(bytes),
        size: bytes.length,
      },
    };
  }

  /** Lets go of what is too old or too much; gives how many went for want of room. */
  async thin(now: number): Promise<number> {
    const { thinned, noRoom } = toLetGo(await this.device.versions(this.bookId), now, mostBytes(await room()));
    await this.device.dropVersions(this.bookId, [...thinned, ...noRoom]);
    return noRoom.length;
  }

  /** Lets the older half go, so that changes find room; gives how many went. */
  async makeRoom(): Promise<number> {
    const versions = await this.device.versions(this.bookId);
    const goes = versions.slice(0, Math.ceil(versions.length / 2)).map((one) => one.id);
    await this.device.dropVersions(this.bookId, goes);
    return goes.length;
  }
}
