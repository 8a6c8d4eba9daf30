/**
 * Arithmetic of the active cell and the selected range.
 *
 * Enters: cells and bounds. Leaves: new cells and ranges.
 * Always true: a range holds the active cell; row -1 is the header row and is never part of a range.
 * Never: touches the page or the records.
 */
import type { CellRange } from './contract.js';

export interface Cell { row: number; column: number }
export const HEADER_ROW = -1;

export function rangeBetween(a: Cell, b: Cell): CellRange {
  return {
    firstRow: Math.max(0, Math.min(a.row, b.row)), lastRow: Math.max(0, a.row, b.row),
    firstColumn: Math.min(a.column, b.column), lastColumn: Math.max(a.column, b.column),
  };
}

export const contains = (range: CellRange, row: number, column: number): boolean =>
  row >= range.firstRow && row <= range.lastRow && column >= range.firstColumn && column <= range.lastColumn;

export const rowsIn = (range: CellRange): number => range.lastRow - range.firstRow + 1;
export const columnsIn = (range: CellRange): number => range.lastColumn - range.firstColumn + 1;
export const cellsIn = (range: CellRange): number => rowsIn(range) * columnsIn(range);

/** Keeps a cell inside the sheet; `lowestRow` is 0, or -1 where the header may be entered. */
export function within(cell: Cell, nRows: number, nColumns: number, lowestRow = 0): Cell {
  return {
    row: Math.max(lowestRow, Math.min(cell.row, nRows - 1)),
    column: Math.max(0, Math.min(cell.column, nColumns - 1)),
  };
}

/** Tab order: along the row, then the next row; null when there is nowhere left to go. */
export function tabFrom(cell: Cell, step: 1 | -1, nRows: number, nColumns: number): Cell | null {
  const column = cell.column + step;
  if (column >= 0 && column < nColumns) return { row: cell.row, column };
  const row = cell.row + step;
  if (row < 0 || row >= nRows) return null;
  return { row, column: step > 0 ? 0 : nColumns - 1 };
}

/**
 * Ctrl+arrow along one row: from a filled cell to the last filled one before a gap, from a gap or the
 * border of a gap to the next filled one, else to the end.
 */
export function edgeAlong(filled: readonly boolean[], from: number, step: 1 | -1): number {
  const last = step > 0 ? filled.length - 1 : 0;
  const inside = (i: number): boolean => i >= 0 && i < filled.length;
  let at = from + step;
  if (!inside(at)) return from;
  if (filled[from] && filled[at]) {
    while (inside(at + step) && filled[at + step]) at += step;
    return at;
  }
  while (inside(at) && !filled[at]) at += step;
  return inside(at) ? at : last;
}

/** Rows a fill covers: the range pulled down to `toRow`; null when it would not grow. */
export function fillTarget(range: CellRange, toRow: number): CellRange | null {
  if (toRow <= range.lastRow) return null;
  return { ...range, firstRow: range.lastRow + 1, lastRow: toRow };
}
