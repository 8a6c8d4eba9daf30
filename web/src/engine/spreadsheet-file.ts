/**
 * The page's side of one spreadsheet file.
 *
 * Enters: its bytes. Leaves: its sheets, and one of them as CSV for the usual import.
 * Always true: closing it at any moment ends the work on it.
 * Never: keeps the module's memory once the file is closed.
 */
import source from 'worker:engine/spreadsheet-worker.ts';
import { payload } from '../embed/payload.ts';
import { startWorker } from '../embed/start-worker.ts';
import { Refused } from './protocol.ts';
import type { SheetListed } from './generated/spreadsheet.js';
import type { FromSpreadsheet, ToSpreadsheet } from './spreadsheet-protocol.ts';

let compiled: Promise<WebAssembly.Module> | undefined;

function spreadsheetModule(): Promise<WebAssembly.Module> {
  compiled ??= payload('spreadsheet.wasm').then((bytes) => WebAssembly.compile(bytes));
  compiled.catch(() => {
    compiled = undefined; // a later try may find the network back
  });
  return compiled;
}

/** Whether a file begins as XLSX, ODS (a ZIP) or XLS (a compound file) does. A book of Fairpen is a ZIP too. */
export async function beginsAsSpreadsheet(file: Blob): Promise<boolean> {
  const first = new Uint8Array(await file.slice(0, 8).arrayBuffer());
  const starts = (...bytes: number[]): boolean => bytes.every((byte, at) => first[at] === byte);
  return starts(0x50, 0x4b, 3, 4) || starts(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1);
}

export class SpreadsheetFile {
  private readonly worker = startWorker(source, 'spreadsheet');
  private waiting: { resolve(message: FromSpreadsheet): void; reject(cause: Error): void } | undefined;
  sheets: readonly SheetListed[] = [];

  private constructor() {
    this.worker.onmessage = ({ data }: MessageEvent<FromSpreadsheet>) => {
      const { waiting } = this;
      this.waiting = undefined;
      if (data.kind === 'refused') waiting?.reject(new Refused(data.refusal));
      else waiting?.resolve(data);
    };
    this.worker.onerror = (event) => {
      this.waiting?.reject(new Error(event.message || 'This file could not be read as a spreadsheet.'));
      this.waiting = undefined;
    };
  }

  static async open(file: Blob): Promise<SpreadsheetFile> {
    const opened = new SpreadsheetFile();
    try {
      const [module, bytes] = await Promise.all([spreadsheetModule(), file.arrayBuffer()]);
      const answer = await opened.ask({ kind: 'open', module, bytes: new Uint8Array(bytes) }, [bytes]);
      if (answer.kind === 'sheets') opened.sheets = answer.sheets;
      return opened;
    } catch (cause) {
      opened.close();
      throw cause;
    }
  }

  /** The cells of a sheet, and what was done to make them plain. */
  async csv(sheet: string): Promise<{ bytes: Uint8Array<ArrayBuffer>; remarks: string[] }> {
    const answer = await this.ask({ kind: 'csv', sheet });
    if (answer.kind !== 'csv') throw new Error('This file could not be read as a spreadsheet.');
    return answer;
  }

  close(): void {
    this.worker.terminate();
    this.waiting?.reject(new Error('Reading the file was stopped. Nothing was changed.'));
    this.waiting = undefined;
  }

  private ask(message: ToSpreadsheet, transfer: Transferable[] = []): Promise<FromSpreadsheet> {
    return new Promise((resolve, reject) => {
      this.waiting = { resolve, reject };
      this.worker.postMessage(message, transfer);
    });
  }
}
