import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { ColumnInfo } from '../../engine/generated/core.js';
import { arranged, hiddenOf, withMoved, withShown } from './arrangement.ts';

const column = (key: string, more: Partial<ColumnInfo> = {}): ColumnInfo => ({
  key, label: key, unit: '', kind: 'text', origin: 'entered', help: '', editable: true, choices: [], namesAnother: false, bar: false, empty: false, fromFile: false, ...more,
});
const COLUMNS = [column('tag'), column('sex'), column('dam_tag', { empty: true }), column('note', { empty: true }), column('ratio', { origin: 'engine' })];
const shownKeys = (places: Parameters<typeof arranged>[2], columns = COLUMNS): string[] =>
  arranged('calves', columns, places).filter(({ shown }) => shown).map(({ info }) => info.key);

test('use decides where nothing was chosen', () => {
  assert.deepEqual(shownKeys([]), ['tag', 'sex', 'note', 'ratio'], 'a note is usual, an empty electronic tag of the dam is not');
  const used = COLUMNS.map((one) => (one.key === 'dam_tag' ? { ...one, empty: false } : one));
  assert.deepEqual(shownKeys([], used), ['tag', 'sex', 'dam_tag', 'note', 'ratio']);
});

test('hiding and showing are choices, and the rest keeps its place', () => {
  const hidden = withShown(arranged('calves', COLUMNS, []), [], ['sex'], false);
  assert.deepEqual(shownKeys(hidden), ['tag', 'note', 'ratio']);
  const { chosen, unused } = hiddenOf(arranged('calves', COLUMNS, hidden));
  assert.deepEqual([chosen.map(({ info }) => info.key), unused.map(({ info }) => info.key)], [['sex'], ['dam_tag']]);
  const again = withShown(arranged('calves', COLUMNS, hidden), hidden, ['sex'], undefined);
  assert.deepEqual(shownKeys(again), ['tag', 'sex', 'note', 'ratio']);
  const all = withShown(arranged('calves', COLUMNS, hidden), hidden, COLUMNS.map(({ key }) => key), true);
  assert.deepEqual(shownKeys(all), COLUMNS.map(({ key }) => key));
});

test('one column stays whatever a look says', () => {
  assert.deepEqual(shownKeys(COLUMNS.map(({ key }) => ({ column: key, shown: false }))), ['tag']);
});

test('a column goes to any place among those shown', () => {
  const before = withShown(arranged('calves', COLUMNS, []), [], ['sex'], false);
  const keys = shownKeys(before);
  for (const [from, key] of keys.entries()) {
    for (const to of keys.keys()) {
      const wanted = keys.toSpliced(from, 1).toSpliced(to, 0, key);
      assert.deepEqual(shownKeys(withMoved(arranged('calves', COLUMNS, before), before, key, to)), wanted, `${key} to ${to}`);
    }
  }
});

test('columns that are not there keep their places for the day they come back', () => {
  const places = [{ column: 'gone', shown: true }, { column: 'ratio', shown: undefined }, { column: 'tag', shown: undefined }];
  assert.deepEqual(shownKeys(places), ['ratio', 'tag', 'sex', 'note'], 'what the look does not name stands behind');
  const moved = withMoved(arranged('calves', COLUMNS, places), places, 'tag', 0);
  assert.deepEqual(shownKeys(moved, [...COLUMNS, column('gone')]).includes('gone'), true);
});
