/**
 * The spreadsheet worker: one XLSX, XLS or ODS file to plain cells, in a module that is loaded only for it.
 *
 * Enters: the compiled module with the file's bytes, then names of sheets. Leaves: the list of sheets, their cells as CSV.
 * Always true: it is ended with its file; a file that stops the module stops nothing else.
 * Never: knows the book.
 */
import { initSync, SpreadsheetReader, type Refusal } from './generated/spreadsheet.js';
import type { FromSpreadsheet, ToSpreadsheet } from './spreadsheet-protocol.ts';

const scope = self as unknown as DedicatedWorkerGlobalScope;
const say = (message: FromSpreadsheet, transfer: Transferable[] = []): void => scope.postMessage(message, transfer);

const DAMAGED: Refusal = {
  code: 'import.spreadsheet.unreadable',
  message: 'This file could not be read as a spreadsheet (it is damaged).',
  hint: 'Open it in the program it came from, save it again, or save the sheet as CSV and bring that in.',
};

let reader: SpreadsheetReader | undefined;

scope.onmessage = ({ data }: MessageEvent<ToSpreadsheet>) => {
  try {
    if (data.kind === 'open') {
      initSync({ module: data.module });
      reader = new SpreadsheetReader(data.bytes);
      say({ kind: 'sheets', sheets: reader.sheets() });
    } else if (reader !== undefined) {
      const bytes = new Uint8Array(reader.csv(data.sheet));
      say({ kind: 'csv', bytes, remarks: reader.remarks(data.sheet) }, [bytes.buffer]);
    }
  } catch (cause) {
    if (cause instanceof WebAssembly.RuntimeError) {
      say({ kind: 'refused', refusal: DAMAGED });
      return;
    }
    const { code, message, hint } = cause as Refusal;
    say({ kind: 'refused', refusal: { code, message, hint } });
  }
};
