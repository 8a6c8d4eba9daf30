/**
 * A file on its way into the book.
 *
 * Enters: a file, in pieces, and choices. Leaves: what was understood of it, and its bytes for the journal.
 * Always true: nothing in the book changes before the commit; between two pieces the worker answers others;
 * the file is read from the device once, a choice reads the same bytes again.
 * Never: goes on after it was cancelled, or after a later choice.
 */
import { Session, type ImportChoices, type ImportPreview } from './generated/core.js';
import type { KeptFile } from '../store/device.ts';

/** Bytes per piece: large enough to be quick, small enough that other questions are answered in between. */
const PIECE = 192 * 1024;

type Progress = (done: number, of: number, rows: number) => void;

export class Cancelled extends Error {
  constructor() {
    super('Reading the file was stopped. Nothing was changed.');
  }
}

/** SHA-256 in hexadecimal: the browser's own, which works beside this thread; the engine's where it has none. */
export async function digestOf(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  // Undefined on pages that came over plain HTTP.
  const subtle = crypto.subtle as SubtleCrypto | undefined;
  if (subtle === undefined) return Session.digest(bytes);
  const digest = new Uint8Array(await subtle.digest('SHA-256', bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** Where the bytes come from: `part` is the name of the sheet in a spreadsheet file, or empty; `today` is year-month-day. */
export interface Source { name: string; part: string; today: string }

export class ImportReading {
  private turn = 0;
  private bytes = new Uint8Array(0);
  private digest: Promise<string> | undefined;
  /** The last reading, so that a commit waits for it. */
  private last: Promise<unknown> = Promise.resolve();

  constructor(private readonly session: Session, private readonly source: Source) {}

  read(file: Blob, progress: Progress): Promise<ImportPreview> {
    const { name, part, today } = this.source;
    this.session.import_begin_from(name, part, today);
    return this.lasting(this.first(file, progress));
  }

  /** Reads the same bytes by other choices. */
  choose(choices: ImportChoices, progress: Progress): Promise<ImportPreview> {
    this.session.import_choose(choices);
    return this.lasting(this.again(progress));
  }

  /** Reads the same bytes as if no file like this one had come in before. */
  anew(progress: Progress): Promise<ImportPreview> {
    this.session.import_anew();
    return this.lasting(this.again(progress));
  }

  cancel(): void {
    this.turn += 1;
  }

  /** The digest under which the file is kept, once it has been read. */
  async ready(): Promise<string> {
    await this.last.catch(() => undefined);
    this.digest ??= digestOf(this.bytes);
    return this.digest;
  }

  /** Brings the rows in. */
  commit(digest: string): { record: Uint8Array; file: Omit<KeptFile, 'bookId'> } {
    const record = this.session.import_commit(digest);
    return { record, file: { digest, name: this.source.name, bytes: this.bytes } };
  }

  private lasting(reading: Promise<ImportPreview>): Promise<ImportPreview> {
    this.last = reading;
    return reading;
  }

  private async first(file: Blob, progress: Progress): Promise<ImportPreview> {
    const mine = ++this.turn;
    const bytes = new Uint8Array(file.size);
    for (let at = 0; at < bytes.length; at += PIECE) {
      const piece = new Uint8Array(await file.slice(at, at + PIECE).arrayBuffer());
      this.stand(mine);
      bytes.set(piece, at);
      progress(at + piece.length, bytes.length, this.session.import_push(piece));
    }
    this.bytes = bytes;
    this.digest = digestOf(bytes);
    // Awaited in `ready` only: a failure is met there.
    this.digest.catch(() => undefined);
    return this.session.import_finish();
  }

  private async again(progress: Progress): Promise<ImportPreview> {
    const mine = ++this.turn;
    for (let at = 0; at < this.bytes.length; at += PIECE) {
      const piece = this.bytes.subarray(at, at + PIECE);
      progress(at + piece.length, this.bytes.length, this.session.import_push(piece));
      await breath();
      this.stand(mine);
    }
    return this.session.import_finish();
  }

  /** The engine was told by whoever cancelled or chose anew: by now it may be reading something else. */
  private stand(mine: number): void {
    if (this.turn !== mine) throw new Cancelled();
  }
}

/** Lets other questions be answered. A message is quicker than a timer, which waits at least 4 ms when nested. */
function breath(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });
}
