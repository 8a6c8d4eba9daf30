/**
 * The list of places in a book: records, answers, hand over.
 *
 * Enters: the sheets of the book. Leaves: links in order, and which of them are folded away.
 * Always true: calves come first; a sheet without rows is folded away.
 * Never: lists a place that cannot be opened.
 */
import type { BookState, SheetInfo } from '../../engine/generated/core.js';
import { route, type Route } from '../route.ts';

export interface Place { to: Route; label: string; count: string }

const count = (sheet: SheetInfo): string => (sheet.nRows > 0 ? sheet.nRows.toLocaleString('en-US') : '');
const link = (sheet: SheetInfo): Place => ({ to: route('sheet', sheet.key), label: sheet.label, count: count(sheet) });

export function records(state: BookState): { shown: Place[]; folded: Place[] } {
  const calves = state.sheets.filter((sheet) => sheet.key === 'calves');
  const others = state.sheets.filter((sheet) => sheet.key !== 'calves');
  return {
    shown: [...calves, ...others.filter((sheet) => sheet.nRows > 0)].map(link),
    folded: others.filter((sheet) => sheet.nRows === 0).map(link),
  };
}

export const answers: readonly Place[] = [
  { to: route('fair'), label: 'Fair weights', count: '' },
  { to: route('groups'), label: 'Groups', count: '' },
  { to: route('compare'), label: 'Compare', count: '' },
];

export function samePlace(a: Route, b: Route): boolean {
  // A trial is planned under Compare.
  if (a.view === 'compare' && b.view === 'trial') return true;
  return a.view === b.view && (a.view !== 'sheet' || a.what === b.what);
}
