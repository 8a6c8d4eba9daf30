import assert from 'node:assert/strict';
import { test } from 'node:test';
import { nextSort } from './header.js';
import { cellsIn, contains, edgeAlong, fillTarget, rangeBetween, tabFrom, within } from './selection.js';

test('a range spans its two corners in any order', () => {
  const expected = { firstRow: 2, lastRow: 5, firstColumn: 1, lastColumn: 3 };
  assert.deepEqual(rangeBetween({ row: 5, column: 1 }, { row: 2, column: 3 }), expected);
  assert.deepEqual(rangeBetween({ row: 2, column: 3 }, { row: 5, column: 1 }), expected);
  assert.equal(cellsIn(expected), 12);
  assert.equal(contains(expected, 5, 3), true);
  assert.equal(contains(expected, 6, 3), false);
});

test('cells are kept inside; the header only where asked', () => {
  assert.deepEqual(within({ row: 99, column: -4 }, 10, 5), { row: 9, column: 0 });
  assert.deepEqual(within({ row: -7, column: 9 }, 10, 5), { row: 0, column: 4 });
  assert.deepEqual(within({ row: -1, column: 0 }, 10, 5, -1), { row: -1, column: 0 });
});

test('Tab runs along rows and stops at both corners', () => {
  assert.deepEqual(tabFrom({ row: 0, column: 1 }, 1, 2, 3), { row: 0, column: 2 });
  assert.deepEqual(tabFrom({ row: 0, column: 2 }, 1, 2, 3), { row: 1, column: 0 });
  assert.deepEqual(tabFrom({ row: 1, column: 0 }, -1, 2, 3), { row: 0, column: 2 });
  assert.equal(tabFrom({ row: 1, column: 2 }, 1, 2, 3), null);
  assert.equal(tabFrom({ row: 0, column: 0 }, -1, 2, 3), null);
});

test('edge along a row', () => {
  const filled = [true, true, true, false, false, true, false];
  assert.equal(edgeAlong(filled, 0, 1), 2);
  assert.equal(edgeAlong(filled, 2, 1), 5);
  assert.equal(edgeAlong(filled, 3, 1), 5);
  assert.equal(edgeAlong(filled, 5, 1), 6);
  assert.equal(edgeAlong(filled, 6, -1), 5);
  assert.equal(edgeAlong(filled, 5, -1), 2);
  assert.equal(edgeAlong(filled, 0, -1), 0);
  assert.equal(edgeAlong([false, false], 1, -1), 0);
});

test('a fill covers the rows below the range only', () => {
  const range = { firstRow: 2, lastRow: 3, firstColumn: 0, lastColumn: 1 };
  assert.deepEqual(fillTarget(range, 7), { firstRow: 4, lastRow: 7, firstColumn: 0, lastColumn: 1 });
  assert.equal(fillTarget(range, 3), null);
});

test('sort keys: up, down, none; adding keeps the order of keys', () => {
  assert.deepEqual(nextSort([], 'a', false), [{ column: 'a', descending: false }]);
  assert.deepEqual(nextSort([{ column: 'a', descending: false }], 'a', false), [{ column: 'a', descending: true }]);
  assert.deepEqual(nextSort([{ column: 'a', descending: true }], 'a', false), []);
  assert.deepEqual(nextSort([{ column: 'a', descending: true }], 'b', false), [{ column: 'b', descending: false }]);
  const two = nextSort([{ column: 'a', descending: false }], 'b', true);
  assert.deepEqual(two.map((key) => key.column), ['a', 'b']);
  assert.deepEqual(nextSort(two, 'a', true), [{ column: 'a', descending: true }, { column: 'b', descending: false }]);
  assert.deepEqual(nextSort([{ column: 'a', descending: true }, { column: 'b', descending: false }], 'a', true), [{ column: 'b', descending: false }]);
});
