// What enters: a column and a direction. What leaves: the order of rows.
// Always true: missing and text that was not understood stand last either way; equal rows keep their order,
// so that sorting by one column and then another sorts by both.
// Never: touches the document.

import type { Cell, Column } from './handed-over.ts';

const names = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });

function isMissing(cell: Cell | undefined): boolean {
  return cell === null || cell === undefined || typeof cell === 'object';
}

/** Compares two cells that are not missing. */
function compare(one: Cell | undefined, other: Cell | undefined): number {
  if (typeof one === 'number' && typeof other === 'number') return one - other;
  return names.compare(String(one), String(other));
}

/** The rows of `before`, sorted by a column. */
export function sorted(before: readonly number[], column: Column, descending: boolean): number[] {
  const sign = descending ? -1 : 1;
  return before.toSorted((one, other) => {
    const [a, b] = [column.cells[one], column.cells[other]];
    const missing = Number(isMissing(a)) - Number(isMissing(b));
    if (missing !== 0 || isMissing(a)) return missing;
    return sign * compare(a, b);
  });
}
