import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { Cell, Column } from './handed-over.ts';
import { sorted } from './order.ts';

function column(cells: Cell[]): Column {
  return { key: 'x', label: 'X', unit: '', kind: 'text', origin: 'own', cells, shown: null };
}

test('numbers go by size, names with numbers in them too, missing last either way', () => {
  assert.deepEqual(sorted([0, 1, 2, 3], column([10, 9, null, 100]), false), [1, 0, 3, 2]);
  assert.deepEqual(sorted([0, 1, 2, 3], column([10, 9, null, 100]), true), [3, 0, 1, 2]);
  assert.deepEqual(sorted([0, 1, 2], column(['Pen 10', 'Pen 9', { unreadable: 'a' }]), false), [1, 0, 2]);
});

test('equal rows keep the order they had, so two sorts make one by two columns', () => {
  const place = column(['Hill', 'Pen', 'Hill', 'Pen']);
  const weight = column([5, 8, 7, 6]);
  assert.deepEqual(sorted(sorted([0, 1, 2, 3], weight, true), place, false), [2, 0, 1, 3]);
});
