import assert from 'node:assert/strict';
import { test } from 'node:test';
import { ColumnLayout } from './columns.ts';
import type { ColumnAct, GridColumn, SortKey } from './contract.ts';
import { headMenu } from './head-menu.ts';

const column = (key: string, more: Partial<GridColumn> = {}): GridColumn =>
  ({ key, label: key, unit: '', kind: 'text', origin: 'entered', help: '', editable: true, ...more });
const COLUMNS = [column('tag'), column('weight', { kind: 'number' }), column('gain', { kind: 'number', origin: 'own', own: true })];

function menuOf(index: number, more: { sortKeys?: SortKey[]; canArrange?: boolean; nHidden?: number; frozen?: number } = {}) {
  const asked: [ColumnAct, number | undefined][] = [];
  const layout = new ColumnLayout(() => 40);
  layout.frozen = more.frozen ?? 1;
  const groups = headMenu(
    { columns: COLUMNS, layout, sortKeys: more.sortKeys ?? [], canArrange: more.canArrange ?? true, nHidden: more.nHidden ?? 0 }, index,
    { sort: () => undefined, fit: () => undefined, chooseValues: () => undefined }, (act, to) => { asked.push([act, to]); },
  );
  const items = groups.flat();
  return {
    words: items.map((item) => item.words),
    off: items.filter((item) => item.off === true).map((item) => item.words),
    press(words: string) { items.find((item) => item.words === words)?.act(); return asked.pop(); },
  };
}

test('only columns of her own are renamed and taken away, only formulas changed', () => {
  assert.equal(menuOf(1).words.some((words) => /Rename|away|formula/.test(words)), false);
  assert.deepEqual(menuOf(2).words.slice(-3), ['Rename', 'Change the formula', 'Take the column away']);
});

test('a sheet that cannot be arranged sorts, filters and fits', () => {
  assert.deepEqual(menuOf(1, { canArrange: false }).words, ['Lowest first', 'Highest first', 'Choose rows by value', 'Fit the width']);
});

test('what cannot be done now is there and off; the rest asks for places', () => {
  assert.deepEqual(menuOf(0).off, ['Move left', 'Move to the front']);
  assert.deepEqual(menuOf(2).off, ['Move right']);
  assert.deepEqual(menuOf(1).press('Move right'), ['move', 2]);
  assert.deepEqual(menuOf(1).press('Freeze up to here'), ['freeze', 2]);
  const frozen = menuOf(1, { frozen: 2 });
  assert.equal(frozen.words.includes('Freeze up to here'), false, 'it is already');
  assert.deepEqual(frozen.press('Freeze the first column only'), ['freeze', 1]);
});

test('hidden columns are counted, sort keys follow one another', () => {
  assert.ok(menuOf(1, { nHidden: 1 }).words.includes('Show 1 hidden column'));
  assert.ok(menuOf(1, { nHidden: 6 }).words.includes('Show 6 hidden columns'));
  const byTag = [{ column: 'tag', descending: false }];
  assert.ok(menuOf(1, { sortKeys: byTag }).words.includes('Sort by this next'));
  assert.ok(menuOf(0, { sortKeys: byTag }).words.includes('Do not sort by this'));
});
