import assert from 'node:assert/strict';
import { test } from 'node:test';
import { bytesOf, dayIsOver, dayOf, mostBytes, noDiary, noted, toLetGo, type Version, type VersionKind } from './versions.ts';

const DAY = 86_400_000;
const NOW = new Date(2026, 10, 25, 12).getTime();
const version = (id: number, daysAgo: number, kind: VersionKind = 'day', more: Partial<Version> = {}): Version =>
  ({ bookId: 'a', id, kind, at: NOW - daysAgo * DAY, title: 'A', acts: [], more: 0, rows: [], digest: `d${id}`, size: 1_000, ...more });

test('acts are counted, and what is taken back on the same day is not listed', () => {
  let diary = noted(noDiary(), 'typing in Note', 'done', 1);
  diary = noted(diary, 'typing in Note', 'done', 2);
  diary = noted(diary, 'bringing in barn.csv', 'done', 3);
  diary = noted(diary, 'bringing in barn.csv', 'undone', 4);
  assert.deepEqual(diary, { acts: [{ words: 'typing in Note', n: 2 }], more: 0, at: 4 });
  diary = noted(diary, 'typing in Sex', 'undone', 5);
  assert.deepEqual(diary.acts[1], { words: 'taking back: typing in Sex', n: 1 }, 'a step of an earlier day');
  for (let at = 0; at < 20; at += 1) diary = noted(diary, `act ${at}`, 'done', 6);
  assert.equal(diary.acts.length, 12);
  assert.equal(diary.more, 10, 'the rest is counted');
});

test('a day is over when the calendar says so', () => {
  const evening = new Date(2026, 10, 24, 23, 59).getTime();
  const diary = noted(noDiary(), 'typing in Note', 'done', evening);
  assert.equal(dayIsOver(diary, evening + 30_000), false);
  assert.equal(dayIsOver(diary, evening + 90_000), true);
  assert.equal(dayIsOver(noDiary(), evening), false, 'nothing was done');
  assert.equal(dayOf(evening), '2026-11-24');
});

test('the last 14 days with changes stay, however long ago; older ones one a week, then one a month', () => {
  const daily = Array.from({ length: 200 }, (_, at) => version(at + 1, 199 - at));
  const { thinned, noRoom } = toLetGo(daily, NOW, 1e9);
  assert.deepEqual(noRoom, []);
  const stays = daily.filter((one) => !thinned.includes(one.id));
  for (let ago = 0; ago < 14; ago += 1) assert.ok(stays.some((one) => dayOf(one.at) === dayOf(NOW - ago * DAY)), `${ago} days ago`);
  assert.ok(stays.length < 14 + 13 + 6, `${stays.length} stay`);
  assert.ok(stays.some((one) => (NOW - one.at) / DAY > 150), 'the old is thinned, not gone');
  const seasonal = Array.from({ length: 14 }, (_, at) => version(at + 1, 300 + 14 - at));
  assert.deepEqual(toLetGo(seasonal, NOW, 1e9).thinned, [], 'a fortnight of work last spring stays whole');
});

test('many imports in a day are held to a few', () => {
  const day = Array.from({ length: 20 }, (_, at) => version(at + 1, 0, 'import', { at: NOW + at }));
  const { thinned } = toLetGo(day, NOW, 1e9);
  assert.equal(thinned.length, 12);
  assert.ok(!thinned.includes(20) && thinned.includes(1), 'the latest stay');
});

test('without room the oldest go, imports before ends of days, never the newest', () => {
  const some = [version(1, 40), version(2, 3, 'import'), version(3, 3), version(4, 1), version(5, 0)];
  assert.deepEqual(toLetGo(some, NOW, 3_000).noRoom, [2, 1]);
  assert.deepEqual(toLetGo(some, NOW, 10).noRoom.length, 4);
  assert.ok(!toLetGo(some, NOW, 10).noRoom.includes(5));
});

test('the same bytes count once, and the bound follows the room', () => {
  assert.equal(bytesOf([version(1, 1, 'day', { digest: 'x' }), version(2, 0, 'import', { digest: 'x' })]), 1_000);
  assert.equal(mostBytes(1_000_000), 100_000);
  assert.equal(mostBytes(undefined), 256 * 1024 * 1024);
});
