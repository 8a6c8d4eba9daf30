import assert from 'node:assert/strict';
import { test } from 'node:test';
import { BLOCK_ROWS, BlockCache } from './cache.js';
import type { GridSource, GridWindow } from './contract.js';

interface Asked { first: number; nRows: number; answer: (mark: string) => void; fail: () => void }

function source(nRows: number): { source: GridSource; asked: Asked[] } {
  const asked: Asked[] = [];
  return {
    asked,
    source: {
      nRows, revision: 1,
      columns: [{ key: 'a', label: 'A', unit: '', kind: 'text', origin: 'entered', help: '', editable: true }],
      window: (first, count) => new Promise<GridWindow>((done, fail) => {
        asked.push({
          first, nRows: count, fail: () => fail(new Error('broken')),
          answer: (mark) => done({
            first, nRows: count, rowKeys: Uint32Array.from({ length: count }, (_, row) => first + row),
            text: Array.from({ length: count }, (_, row) => `${mark}${first + row}`), flags: new Uint8Array(count),
          }),
        });
      }),
      raw: async () => '', remark: async () => '', values: async () => [], edge: async (from) => from,
    },
  };
}

const turn = (): Promise<void> => new Promise((done) => { setImmediate(done); });

test('asks in blocks and gives rows once they are here', async () => {
  let arrivals = 0;
  const cache = new BlockCache(() => { arrivals += 1; }, assert.fail);
  const { source: given, asked } = source(1000);
  cache.open(given);
  cache.want(60, 70);
  assert.deepEqual(asked.map((one) => one.first), [0, BLOCK_ROWS]);
  assert.equal(cache.text(65, 0), null);
  asked[1]?.answer('x');
  await turn();
  assert.equal(cache.text(65, 0), 'x65');
  assert.equal(cache.rowKey(65), 65);
  assert.equal(arrivals, 1);
});

test('the last block is short', () => {
  const cache = new BlockCache(() => {}, assert.fail);
  const { source: given, asked } = source(70);
  cache.open(given);
  cache.want(65, 70);
  assert.deepEqual(asked.map((one) => [one.first, one.nRows]), [[64, 6]]);
});

test('an answer from before a change is dropped; the old text stays until the new one is here', async () => {
  const cache = new BlockCache(() => {}, assert.fail);
  const { source: given, asked } = source(64);
  cache.open(given);
  cache.want(0, 10);
  asked[0]?.answer('old');
  await turn();
  cache.refresh(given);
  assert.equal(cache.text(3, 0), 'old3');
  assert.equal(cache.settled, false);
  const second = asked[1];
  cache.refresh(given);
  second?.answer('stale');
  await turn();
  assert.equal(cache.text(3, 0), 'old3');
  asked[2]?.answer('new');
  await turn();
  assert.equal(cache.text(3, 0), 'new3');
  assert.equal(cache.settled, true);
});

test('rows that were scrolled past are not asked for', async () => {
  const cache = new BlockCache(() => {}, assert.fail);
  const { source: given, asked } = source(100_000);
  cache.open(given);
  for (let row = 0; row < 64_000; row += 640) cache.want(row, row + 30);
  assert.equal(asked.length, 4);
  for (const one of [...asked]) one.answer('x');
  await turn();
  assert.ok(asked.some((one) => one.first === Math.floor(63_360 / 64) * 64));
});

test('a failure is told and can be asked again', async () => {
  const told: string[] = [];
  const cache = new BlockCache(() => {}, (message) => told.push(message));
  const { source: given, asked } = source(64);
  cache.open(given);
  cache.want(0, 10);
  asked[0]?.fail();
  await turn();
  assert.deepEqual(told, ['broken']);
  cache.want(0, 10);
  assert.equal(asked.length, 2);
});
