import assert from 'node:assert/strict';
import { test } from 'node:test';
import { RowScroll, SPACER_MAX_PX } from './scroll.js';

function at(nRows: number, rowHeight = 44, viewHeight = 600): RowScroll {
  const scroll = new RowScroll();
  scroll.resize(nRows, rowHeight, viewHeight);
  return scroll;
}

test('a small sheet is not mapped and follows the browser exactly', () => {
  const scroll = at(1000);
  assert.equal(scroll.mapped, false);
  scroll.scrolled(4400);
  assert.equal(scroll.firstRow, 100);
  assert.equal(scroll.native, 4400);
});

test('the spacer of a million rows stays within what browsers lay out', () => {
  const scroll = at(1_000_000);
  assert.equal(scroll.mapped, true);
  assert.ok(scroll.spacerHeight < SPACER_MAX_PX);
});

test('both ends of a million rows are reached exactly', () => {
  const scroll = at(1_000_000);
  scroll.scrolled(scroll.maxNative);
  assert.equal(scroll.endRow, 1_000_000);
  assert.equal(scroll.top, 44_000_000 - 600);
  scroll.scrolled(0);
  assert.equal(scroll.firstRow, 0);
  assert.equal(scroll.top, 0);
});

test('revealing the last row shows it in full', () => {
  const scroll = at(1_000_000);
  assert.equal(scroll.reveal(999_999), true);
  assert.equal(scroll.top + scroll.viewHeight, 44_000_000);
  assert.equal(scroll.native, scroll.maxNative);
  assert.equal(scroll.reveal(999_999), false);
});

test('a wheel step of one row height moves one row, deep inside a mapped sheet', () => {
  const scroll = at(1_000_000);
  scroll.reveal(500_000);
  const row = scroll.top / 44;
  for (let step = 1; step <= 10; step += 1) {
    scroll.scrolled(scroll.native + 44);
    assert.ok(Math.abs(scroll.top / 44 - row - step) < 1e-6);
  }
});

test('the thumb moves in proportion', () => {
  const scroll = at(1_000_000);
  scroll.scrolled(scroll.maxNative / 2);
  assert.ok(Math.abs(scroll.firstRow - 500_000) < 20, String(scroll.firstRow));
});

test('after wheel steps the browser offset can be brought back in line without moving the rows', () => {
  const scroll = at(1_000_000);
  scroll.reveal(400_000);
  for (let step = 0; step < 50; step += 1) scroll.scrolled(scroll.native + 100);
  const { top } = scroll;
  scroll.setTop(top);
  assert.equal(scroll.top, top);
  assert.ok(Math.abs(scroll.native - (top / scroll.maxTop) * scroll.maxNative) < 1e-6);
});

test('fewer rows after a filter keep the view inside', () => {
  const scroll = at(1_000_000);
  scroll.reveal(999_999);
  scroll.resize(10, 44, 600);
  assert.equal(scroll.top, 0);
  assert.equal(scroll.endRow, 10);
});

test('changing the row height keeps the first row', () => {
  const scroll = at(1_000_000);
  scroll.setTop(44 * 12_345);
  scroll.resize(1_000_000, 28, 600);
  assert.equal(scroll.firstRow, 12_345);
});

test('no rows at all', () => {
  const scroll = at(0);
  assert.equal(scroll.endRow, 0);
  assert.equal(scroll.rowAt(50), 0);
});
