/**
 * Many cells changed in one act: paste, fill, clear.
 *
 * Enters: a target range and the text for each of its places. Leaves: one change and one spoken report.
 * Always true: cells that cannot be typed over, rows and columns that do not fit are counted and said.
 * Never: splits one act into several undo steps.
 */
import type { CellEdit, CellRange, EditReason, NewCell } from './contract.js';
import { cellsIn, rowsIn } from './selection.js';
import type { Sheet } from './sheet.js';
import { blockReport, count } from './words.js';

export const MOST_CELLS = 200_000;

const DONE: Record<EditReason, string> = { type: 'Changed', paste: 'Pasted', clear: 'Cleared', fill: 'Filled' };

export function tooMany(sheet: Sheet, nCells: number): boolean {
  if (nCells <= MOST_CELLS) return false;
  sheet.hint(`${count(nCells, 'cell', 'cells')} at once are too many. Choose fewer than ${count(MOST_CELLS, 'cell', 'cells')}.`);
  return true;
}

/** `textAt(r, c)` counts from the corner of `target`; undefined leaves a place alone. */
export async function changeBlock(
  sheet: Sheet, target: CellRange, textAt: (row: number, column: number) => string | undefined, reason: EditReason,
  /** Done before the report, which a move of the cursor would take away. */
  taken: () => void = () => undefined,
): Promise<boolean> {
  const source = sheet.source;
  if (!source || tooMany(sheet, cellsIn(target))) return false;
  const lastColumn = Math.min(target.lastColumn, sheet.columns.length - 1);
  const nColumnsLost = target.lastColumn - lastColumn;
  const nRowsHere = Math.max(0, Math.min(target.lastRow, sheet.nRows - 1) - target.firstRow + 1);
  const nRowsBeyond = rowsIn(target) - nRowsHere;
  const nRowsAdded = sheet.canAppend && reason !== 'clear' ? nRowsBeyond : 0;
  const nRowsLost = reason === 'clear' ? 0 : nRowsBeyond - nRowsAdded;
  let nSkipped = 0;

  const rowKeys = nRowsHere > 0 ? (await source.window(target.firstRow, nRowsHere, [])).rowKeys : new Uint32Array(0);
  const cells: CellEdit[] = [];
  const rows: NewCell[][] = [];
  for (let r = 0; r < nRowsHere + nRowsAdded; r += 1) {
    const rowKey = rowKeys[r];
    const added: NewCell[] = [];
    for (let c = 0; c <= lastColumn - target.firstColumn; c += 1) {
      const column = sheet.columns[target.firstColumn + c];
      const text = textAt(r, c);
      if (!column || text === undefined) continue;
      if (!column.editable) { nSkipped += 1; continue; }
      if (r < nRowsHere && rowKey !== undefined) cells.push({ rowKey, column: column.key, text });
      else if (text !== '') added.push({ column: column.key, text });
    }
    if (r >= nRowsHere) rows.push(added);
  }
  // Blank lines at the end of a paste are not rows.
  while (rows.length > 0 && rows[rows.length - 1]?.length === 0) rows.pop();
  const nCells = cells.length + rows.reduce((n, row) => n + row.length, 0);
  const report = blockReport({ done: DONE[reason], nCells, nRowsAdded: rows.length, nSkipped, nRowsLost, nColumnsLost });
  if (!await sheet.changes.send(cells, rows, reason)) return false;
  taken();
  if (nSkipped + nRowsLost + nColumnsLost > 0) sheet.hint(report);
  else sheet.say(report);
  return true;
}

export function clearRange(sheet: Sheet): Promise<boolean> {
  const { range } = sheet;
  const lastRow = Math.min(range.lastRow, sheet.nRows - 1);
  if (lastRow < range.firstRow) return Promise.resolve(false);
  return changeBlock(sheet, { ...range, lastRow }, () => '', 'clear');
}

/** Repeats the rows of `from` over `target`, taking the raw text so that no digit is lost to rounding. */
export async function fillDown(sheet: Sheet, from: CellRange, target: CellRange): Promise<boolean> {
  const source = sheet.source;
  if (!source || tooMany(sheet, cellsIn(target)) || from.firstRow >= sheet.nRows) return false;
  const nRows = Math.min(rowsIn(from), sheet.nRows - from.firstRow);
  const { rowKeys } = await source.window(from.firstRow, nRows, []);
  const pattern = await Promise.all(Array.from(rowKeys, (rowKey) => Promise.all(
    sheet.columns.slice(from.firstColumn, from.lastColumn + 1)
      .map((column) => (column.editable ? source.raw(rowKey, column.key) : Promise.resolve(''))),
  )));
  return changeBlock(sheet, target, (r, c) => pattern[r % nRows]?.[c], 'fill');
}

/** Ctrl+D: the first row of the range into the rest; from a single row, the row above into it. */
export function fillFromTop(sheet: Sheet): Promise<boolean> {
  const { range } = sheet;
  if (rowsIn(range) > 1) {
    return fillDown(sheet, { ...range, lastRow: range.firstRow }, { ...range, firstRow: range.firstRow + 1 });
  }
  if (range.firstRow === 0) return Promise.resolve(false);
  return fillDown(sheet, { ...range, firstRow: range.firstRow - 1, lastRow: range.firstRow - 1 }, range);
}
