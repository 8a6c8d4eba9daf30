import assert from 'node:assert/strict';
import { test } from 'node:test';
import { gzipSync } from 'node:zlib';

import { fromBase64, gunzip, gzip, toBase64 } from './payload.ts';

const everyByte = Uint8Array.from({ length: 70_000 }, (_, index) => index % 256);

test('base64 there and back gives the same bytes, also beyond one chunk', () => {
  assert.deepEqual(fromBase64(toBase64(everyByte)), everyByte);
  assert.equal(toBase64(everyByte), Buffer.from(everyByte).toString('base64'));
});

test('what the build gzips is what the page reads', async () => {
  const packed = new Uint8Array(gzipSync(everyByte, { level: 9 }));
  assert.deepEqual(await gunzip(packed), everyByte);
  assert.deepEqual(await gunzip(await gzip(everyByte)), everyByte);
});

test('a damaged payload is refused', async () => {
  const packed = new Uint8Array(gzipSync(everyByte));
  packed[packed.length - 6] = (packed[packed.length - 6] ?? 0) ^ 255; // in the checksum
  await assert.rejects(gunzip(packed));
});
