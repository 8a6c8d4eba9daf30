/**
 * A file on its way into the book.
 *
 * Enters: a file, in pieces. Leaves: what was understood of it, and its bytes for the journal.
 * Always true: nothing in the book changes before the commit; between two pieces the worker answers others.
 * Never: goes on after it was cancelled.
 */
import type { ImportPreview, Session } from './generated/core.js';
import type { KeptFile } from '../store/device.ts';

/** Bytes per piece: large enough to be quick, small enough that other questions are answered in between. */
const PIECE = 192 * 1024;

export class Cancelled extends Error {
  constructor() {
    super('Reading the file was stopped. Nothing was changed.');
  }
}

export class ImportReading {
  private cancelled = false;
  private pieces: Uint8Array<ArrayBuffer>[] = [];

  constructor(private readonly session: Session, private readonly name: string) {}

  async read(file: Blob, progress: (done: number, of: number, rows: number) => void): Promise<ImportPreview> {
    this.session.import_begin(this.name, file.size);
    for (let at = 0; at < file.size; at += PIECE) {
      const piece = new Uint8Array(await file.slice(at, at + PIECE).arrayBuffer());
      // The engine was told by whoever cancelled: by now it may be reading the next file.
      if (this.cancelled) throw new Cancelled();
      this.pieces.push(piece);
      progress(Math.min(file.size, at + PIECE), file.size, this.session.import_push(piece));
    }
    return this.session.import_finish();
  }

  cancel(): void {
    this.cancelled = true;
  }

  /** Brings the rows in. */
  commit(): { record: Uint8Array; file: Omit<KeptFile, 'bookId'> } {
    const { record, digest } = this.session.import_commit();
    const bytes = new Uint8Array(this.pieces.reduce((sum, piece) => sum + piece.length, 0));
    let at = 0;
    for (const piece of this.pieces) {
      bytes.set(piece, at);
      at += piece.length;
    }
    this.pieces = [];
    return { record, file: { digest, name: this.name, bytes } };
  }
}
