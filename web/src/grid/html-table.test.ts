import assert from 'node:assert/strict';
import { test } from 'node:test';
import { pastedRows } from './html-table.js';

test('plain text of the same shape is taken, since it is exact', () => {
  assert.deepEqual(pastedRows([['1', '2.50']], [['1', '2.5']]), [['1', '2.50']]);
});

test('a table whose plain text lost its shape is taken as a table', () => {
  assert.deepEqual(pastedRows([['a'], ['b', 'c']], [['a b', 'c']]), [['a b', 'c']]);
});

test('either alone is taken as it is', () => {
  assert.deepEqual(pastedRows(null, [['a']]), [['a']]);
  assert.deepEqual(pastedRows([['a']], null), [['a']]);
  assert.equal(pastedRows(null, null), null);
});
