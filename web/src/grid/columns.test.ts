import assert from 'node:assert/strict';
import { test } from 'node:test';
import { ColumnLayout } from './columns.ts';
import type { GridColumn } from './contract.ts';

const column = (key: string, width: number): GridColumn => ({ key, label: key, unit: '', kind: 'text', origin: 'entered', help: '', editable: true, width });

function layoutOf(widths: number[], frozen: number, view: number): ColumnLayout {
  const layout = new ColumnLayout((text) => text.length * 8);
  layout.frozen = frozen;
  layout.set(widths.map((width, index) => column(`c${index}`, width)));
  layout.pin(view);
  return layout;
}

test('as many columns stay in sight as leave room for the others', () => {
  assert.equal(layoutOf([100, 100, 100, 100], 3, 1000).pinned, 3);
  assert.equal(layoutOf([100, 100, 100, 100], 3, 390).pinned, 2, 'three would take more than six tenths');
  assert.equal(layoutOf([300, 100], 2, 390).pinned, 1, 'the first always stays');
  assert.equal(layoutOf([100, 100], 9, 5000).pinned, 2, 'no more than there are');
  const layout = layoutOf([100, 100, 100], 2, 1000);
  assert.equal(layout.pin(1000), false, 'nothing differs');
  assert.equal(layout.pin(200), true);
});

test('a point is in the column that is drawn there, pushed sideways or not', () => {
  const layout = layoutOf([100, 80, 60, 200, 200], 2, 1000);
  assert.equal(layout.pinnedWidth, 180);
  assert.deepEqual([0, 99, 100, 179].map((x) => layout.at(x, 500)), [0, 0, 1, 1], 'those in sight do not move');
  assert.deepEqual([180, 239, 240].map((x) => layout.at(x, 0)), [2, 2, 3]);
  assert.deepEqual([180, 181].map((x) => layout.at(x, 60)), [3, 3]);
  for (const scrolled of [0, 37, 60, 200]) {
    for (let x = 180; x < 500; x += 7) {
      const index = layout.at(x, scrolled);
      const left = layout.left(index) - scrolled;
      assert.ok(index === 4 || (x >= left && x < left + (layout.widths[index] ?? 0)), `${x} at ${scrolled}`);
    }
  }
});

test('a head goes into the nearest gap', () => {
  const layout = layoutOf([100, 80, 60, 200], 1, 1000);
  assert.deepEqual([0, 49, 51, 139, 141].map((x) => layout.gapAt(x, 0)), [0, 0, 1, 1, 2]);
  assert.equal(layout.gapAt(5000, 0), 4, 'behind the last');
});

test('a column is shown whole, beside those that stay', () => {
  const layout = layoutOf([100, 100, 100, 100, 100, 100], 2, 400);
  assert.equal(layout.reveal(0, 150, 400), 150, 'it is in sight anyway');
  assert.equal(layout.reveal(1, 150, 400), 150);
  assert.equal(layout.reveal(2, 150, 400), 0, 'it was behind those that stay');
  assert.equal(layout.reveal(5, 0, 400), 200);
});

test('a width that the host does not name is chosen, where the host keeps them', () => {
  const layout = new ColumnLayout((text) => text.length * 8);
  const { width: _none, ...plain } = column('tag', 0);
  layout.set([plain]);
  const fitting = layout.widths[0];
  layout.resize(0, 321);
  layout.set([plain]);
  assert.equal(layout.widths[0], 321, 'the sheet remembers by itself');
  layout.hosted = true;
  layout.set([plain]);
  assert.equal(layout.widths[0], fitting);
});

test('a column whose texts differ in their last digits shows a usual one whole', () => {
  const layout = new ColumnLayout((text) => text.length * 10);
  const { width: _none, ...plain } = column('eid', 0);
  layout.set([plain, { ...plain, key: 'other', usual: '000000000000000' }]);
  assert.ok((layout.widths[0] ?? 0) < 150, 'chosen by kind and label');
  assert.ok((layout.widths[1] ?? 0) > 150, 'fifteen digits and room beside them');
});
