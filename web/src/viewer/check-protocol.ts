// What enters and leaves: the messages between the page of a results file and its worker.
// Always true: an answer carries the id of its question.

import type { VerificationView, FigureWorking } from '../engine/generated/results.js';

/** To the worker. */
export type Question =
  | { kind: 'start'; module: WebAssembly.Module; payload: string }
  | { kind: 'cell'; id: number; row: number; column: string }
  | { kind: 'group'; id: number; at: number };

/** From the worker. */
export type Reply =
  | { kind: 'checked'; verification: VerificationView; version: string }
  | { kind: 'working'; id: number; working: FigureWorking | null }
  | { kind: 'failed'; message: string };
