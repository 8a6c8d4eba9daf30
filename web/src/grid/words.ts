/**
 * The sentences of the sheet, in one place.
 *
 * Enters: facts about a cell or an act. Leaves: plain sentences and screen-reader names.
 * Always true: units are said; missing is said as "empty", never as zero.
 * Never: markup.
 */
import { FLAG, type GridColumn } from './contract.js';

export const ORIGIN_WORDS = { entered: 'typed in', own: 'your formula', engine: 'calculated' } as const;

export const KEYS_HELP =
  'Arrow keys move. Type to replace, F2 to change, Enter to accept and go down, Escape to take back. ' +
  'Tab moves right; press Escape and then Tab to leave the sheet. ' +
  'Control with arrows jumps to the edge of the data. Shift extends the selection. ' +
  'Shift and Space selects the row; the menu key or Shift and F10 offers what can be done with rows. ' +
  'Arrow up from the first row reaches the column heads: there Enter sorts, Shift and Enter adds a sort key, ' +
  'Space opens the menu of the column, and Shift with left or right changes the width. ' +
  'Enter on a calculated cell shows how it was made.';

export const LEAVING = 'Press Tab now to leave the sheet.';
export const STILL_LOADING = 'This row is still loading. Try again in a moment.';
export const NO_LISTENER = 'Nothing here can take the change, so it was not kept.';
export const NEW_ROW = 'New row';
export const COPY_WAITS = 'The rows are being fetched. Press copy once more in a moment.';

const MARKS: [number, string][] = [
  [FLAG.error, 'error'], [FLAG.unreadable, 'cannot be read'], [FLAG.doubtful, 'doubtful'], [FLAG.missing, 'missing'],
];

export function flagWords(flags: number): string[] {
  return MARKS.filter(([bit]) => flags & bit).map(([, word]) => word);
}

export interface CellFacts { row: number; column: GridColumn; text: string; flags: number; waiting: boolean; remark: string }

/** "row 12, Ratio, 104.3, calculated". */
export function cellName(facts: CellFacts): string {
  const { column, text } = facts;
  const value = text === '' ? 'empty' : column.unit && column.kind === 'number' ? `${text} ${column.unit}` : text;
  const parts = [`row ${facts.row + 1}`, column.label, value];
  if (column.origin !== 'entered') parts.push(ORIGIN_WORDS[column.origin]);
  parts.push(...flagWords(facts.flags).filter((word) => !(word === 'missing' && text === '')));
  if (facts.waiting) parts.push('being saved');
  if (facts.remark) parts.push(facts.remark);
  return parts.join(', ');
}

export function whyNotTyped(column: GridColumn): string {
  const start = column.origin === 'engine'
    ? `${column.label} is calculated and cannot be typed over.`
    : column.origin === 'own'
      ? `${column.label} comes from your formula.`
      : `${column.label} cannot be changed here.`;
  if (column.origin === 'own') return `${start} Press Enter to see how it was made and to change it.${column.help ? ` ${column.help}` : ''}`;
  const how = column.origin === 'engine' ? ' Press Enter to see how it was made.' : '';
  return `${start}${column.help ? ` ${column.help}` : ''}${how}`;
}

export const count = (n: number, one: string, many: string): string => `${n.toLocaleString('en-US')} ${n === 1 ? one : many}`;

export interface BlockOutcome { done: string; nCells: number; nRowsAdded: number; nSkipped: number; nRowsLost: number; nColumnsLost: number }

export function blockReport(outcome: BlockOutcome): string {
  const parts = [`${outcome.done} ${count(outcome.nCells, 'cell', 'cells')}.`];
  if (outcome.nRowsAdded) parts.push(`${count(outcome.nRowsAdded, 'row', 'rows')} added.`);
  if (outcome.nSkipped) parts.push(`${count(outcome.nSkipped, 'cell', 'cells')} in columns that cannot be typed over left alone.`);
  if (outcome.nRowsLost) parts.push(`${count(outcome.nRowsLost, 'row', 'rows')} did not fit below the last row and ${outcome.nRowsLost === 1 ? 'was' : 'were'} not used.`);
  if (outcome.nColumnsLost) parts.push(`${count(outcome.nColumnsLost, 'column', 'columns')} did not fit beyond the last column and ${outcome.nColumnsLost === 1 ? 'was' : 'were'} not used.`);
  return parts.join(' ');
}
