/**
 * What the page and the worker of a spreadsheet file say to each other.
 *
 * Enters, leaves: messages, one question at a time.
 * Always true: each question has one answer.
 * Never: carries more of the file back than one sheet's text.
 */
import type { Refusal, SheetListed } from './generated/spreadsheet.js';

export type ToSpreadsheet =
  | { kind: 'open'; module: WebAssembly.Module; bytes: Uint8Array<ArrayBuffer> }
  | { kind: 'csv'; sheet: string };
export type FromSpreadsheet =
  | { kind: 'sheets'; sheets: SheetListed[] }
  | { kind: 'csv'; bytes: Uint8Array<ArrayBuffer>; remarks: string[] }
  | { kind: 'refused'; refusal: Refusal };
