import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { BookMeta } from './device.ts';
import { InMemory } from './in-memory.ts';

const meta = (more: Partial<BookMeta> = {}): BookMeta => ({ id: 'a', title: 'A', savedAt: 1, sample: false, snapshotSeq: 0, lastSeq: 0, setAside: [], ...more });
const entry = (seq: number, bookId = 'a') => ({ bookId, seq, record: Uint8Array.of(seq), at: seq });

test('records come back in order, only those after the snapshot, only of their book', async () => {
  const device = new InMemory();
  await device.append(meta({ lastSeq: 2 }), entry(2));
  await device.append(meta({ lastSeq: 3 }), entry(3));
  await device.append(meta({ lastSeq: 3 }), entry(1));
  await device.append(meta({ id: 'b', lastSeq: 9 }), entry(9, 'b'));
  assert.deepEqual((await device.records('a', 1)).map((one) => one.seq), [2, 3]);
  await device.keepSnapshot(meta({ lastSeq: 3, snapshotSeq: 2 }), Uint8Array.of(7));
  assert.deepEqual((await device.records('a', 0)).map((one) => one.seq), [3]);
  assert.deepEqual(await device.snapshot('a'), Uint8Array.of(7));
  assert.equal((await device.records('b', 0)).length, 1);
});

test('files stay through a snapshot and go when no record names them', async () => {
  const device = new InMemory();
  const file = (digest: string) => ({ bookId: 'a', digest, name: 'x.csv', bytes: Uint8Array.of(1) });
  await device.append(meta(), entry(1), file('d1'));
  await device.append(meta(), entry(2), file('d2'));
  await device.keepSnapshot(meta({ snapshotSeq: 2 }), Uint8Array.of(1));
  assert.equal((await device.files('a')).length, 2, 'redo may still need them');
  await device.keepOnlyFiles('a', new Set(['d2']));
  assert.deepEqual((await device.files('a')).map((one) => one.digest), ['d2']);
});

test('a restarted worker goes on from the contents', async () => {
  const device = new InMemory();
  await device.append(meta({ lastSeq: 1 }), entry(1));
  const again = new InMemory(structuredClone(device.contents()));
  assert.equal((await again.records('a', 0)).length, 1);
  await again.remove('a');
  assert.deepEqual(await again.list(), []);
});
