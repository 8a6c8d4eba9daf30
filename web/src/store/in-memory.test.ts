import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { BookMeta } from './device.ts';
import { InMemory } from './in-memory.ts';

const meta = (more: Partial<BookMeta> = {}): BookMeta => ({ id: 'a', title: 'A', savedAt: 1, sample: false, snapshotSeq: 0, lastSeq: 0, setAside: [], ...more });
const entry = (seq: number, bookId = 'a') => ({ bookId, seq, record: Uint8Array.of(seq), at: seq });

test('records come back in order, only those after the snapshot, only of their book', async () => {
  const device = new InMemory();
  await device.keepSnapshot(meta(), Uint8Array.of(0));
  await device.keepSnapshot(meta({ id: 'b', lastSeq: 8, snapshotSeq: 8 }), Uint8Array.of(0));
  for (const seq of [1, 2, 3]) await device.append(meta({ lastSeq: seq }), entry(seq));
  await device.append(meta({ id: 'b', lastSeq: 9 }), entry(9, 'b'));
  assert.deepEqual((await device.records('a', 1)).map((one) => one.seq), [2, 3]);
  await device.keepSnapshot(meta({ lastSeq: 3, snapshotSeq: 2 }), Uint8Array.of(7));
  assert.deepEqual((await device.records('a', 0)).map((one) => one.seq), [3]);
  assert.deepEqual(await device.snapshot('a'), Uint8Array.of(7));
  assert.equal((await device.records('b', 0)).length, 1);
});

test('a record is refused where its book is not, or not as it was left', async () => {
  const device = new InMemory();
  await assert.rejects(device.append(meta({ lastSeq: 1 }), entry(1)), /cleared/);
  await device.keepSnapshot(meta({ lastSeq: 4, snapshotSeq: 4 }), Uint8Array.of(0));
  await assert.rejects(device.append(meta({ lastSeq: 6 }), entry(6)), /cleared/);
  assert.deepEqual(await device.records('a', 0), []);
});

test('versions come back oldest first, and go with their book', async () => {
  const device = new InMemory();
  const version = (id: number) => ({ version: { bookId: 'a', id, kind: 'day' as const, at: id, title: 'A', acts: [], more: 0, rows: [], digest: `d${id}`, size: 1 }, bytes: Uint8Array.of(id) });
  await device.keepVersion(meta(), version(1));
  await device.keepSnapshot(meta(), Uint8Array.of(0), version(2));
  assert.deepEqual((await device.versions('a')).map((one) => one.id), [1, 2]);
  assert.deepEqual(await device.versionBytes('a', 'd2'), Uint8Array.of(2));
  await device.dropVersions('a', [1]);
  assert.equal(await device.versionBytes('a', 'd1'), undefined);
  const again = new InMemory(structuredClone(device.contents()));
  assert.equal((await again.versions('a')).length, 1);
  await again.remove('a');
  assert.deepEqual(await again.versions('a'), []);
});

test('files stay through a snapshot and go when no record names them', async () => {
  const device = new InMemory();
  const file = (digest: string) => ({ bookId: 'a', digest, name: 'x.csv', bytes: Uint8Array.of(1) });
  await device.keepSnapshot(meta(), Uint8Array.of(0));
  await device.append(meta({ lastSeq: 1 }), entry(1), file('d1'));
  await device.append(meta({ lastSeq: 2 }), entry(2), file('d2'));
  await device.keepSnapshot(meta({ snapshotSeq: 2, lastSeq: 2 }), Uint8Array.of(1));
  assert.equal((await device.files('a')).length, 2, 'redo may still need them');
  await device.keepOnlyFiles('a', new Set(['d2']));
  assert.deepEqual((await device.files('a')).map((one) => one.digest), ['d2']);
});

test('a restarted worker goes on from the contents', async () => {
  const device = new InMemory();
  await device.keepSnapshot(meta(), Uint8Array.of(0));
  await device.append(meta({ lastSeq: 1 }), entry(1));
  const again = new InMemory(structuredClone(device.contents()));
  assert.equal((await again.records('a', 0)).length, 1);
  await again.remove('a');
  assert.deepEqual(await again.list(), []);
});
