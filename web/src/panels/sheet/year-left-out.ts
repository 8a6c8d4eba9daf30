/**
 * Days typed without their year.
 *
 * Enters: what was typed into a sheet. Leaves: a sentence with the year that was taken.
 * Always true: what is said is what stands in the cell now.
 * Never: decides the year; the engine does, by the book's day or the usual year.
 */
import type { CellText, ColumnInfo } from '../../engine/generated/core.js';
import { app } from '../app.ts';

/** 3/14, 14 Mar, March 14th: a day and a month, and no year. */
const WITHOUT_YEAR = /^\s*(?:\d{1,2}[/-]\d{1,2}|\d{1,2}(?:st|nd|rd|th)?[ -]?[a-z]{3,9}|[a-z]{3,9}\.? ?\d{1,2}(?:st|nd|rd|th)?)\s*$/i;

/** A day typed without its year got one: which, for the first such cell. */
export async function sayYear(sheet: string, columns: readonly { info: ColumnInfo }[], cells: readonly CellText[]): Promise<void> {
  const isDate = (key: string): boolean => columns.some(({ info }) => info.key === key && info.kind === 'date');
  const short = cells.find(({ column, text }) => WITHOUT_YEAR.test(text) && isDate(column));
  if (short === undefined) return;
  const read = await app.engine.ask('raw', { sheet, rowKey: short.rowKey, column: short.column });
  if (/^\d{4}-/.test(read)) app.tell(`"${short.text.trim()}" has no year. It was read as ${read}.`);
}
