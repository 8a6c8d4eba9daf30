import assert from 'node:assert/strict';
import { test } from 'node:test';
import { markAt, marks } from './group-marks.ts';
import { spread } from './rows.ts';

test('no two of 64 groups share colour and mark', () => {
  const seen = new Set(Array.from({ length: 64 }, (_, index) => `${markAt(index).colour} ${markAt(index).symbol}`));
  assert.equal(seen.size, 64);
});

test('the same group keeps its mark', () => {
  const names = ['Creek', 'Hill', 'Pen 1'];
  assert.deepEqual(marks(names).get('Hill'), markAt(1));
});

test('points that would cover each other stand in different lanes', () => {
  const offsets = spread([500, 500, 500, 520], 5);
  assert.equal(new Set(offsets.slice(0, 3)).size, 3, 'three calves of one weight are three marks');
  assert.ok(offsets.every((offset) => Math.abs(offset) <= 1));
  assert.equal(offsets[3], offsets[0], 'a calf that stands apart is on the middle line');
  assert.deepEqual(spread([], 5), []);
});

test('many calves of one weight stay within their row', () => {
  const offsets = spread(new Array<number>(40).fill(510), 5);
  assert.equal(new Set(offsets).size, 40);
  assert.ok(offsets.every((offset) => Math.abs(offset) <= 1), String(Math.max(...offsets)));
});
