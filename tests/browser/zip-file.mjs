// ZIP files as somebody who means harm would write them.
//
// Enters: entries with any name, any bytes, and any stated sizes. Leaves: the bytes of a ZIP.
// Always true: what is not asked to lie is true, so that a refusal is for the lie alone.
// Never: used to write anything that is kept.

import { constants, crc32, deflateRawSync } from 'node:zlib';

/** One entry; `packed` is a raw deflate stream that is written as it is, `states` the size it claims to have. */
function entry({ name, bytes = Buffer.alloc(0), packed = deflateRawSync(bytes), states = bytes.length, crc = crc32(bytes) }) {
  const path = Buffer.from(name);
  const common = Buffer.alloc(26);
  common.writeUInt16LE(20, 0);
  common.writeUInt16LE(0x0800, 2); // the name is UTF-8
  common.writeUInt16LE(8, 4);
  common.writeUInt32LE(crc, 10);
  common.writeUInt32LE(packed.length, 14);
  common.writeUInt32LE(states, 18);
  common.writeUInt16LE(path.length, 22);
  return { path, common, packed };
}

export function zipOf(entries) {
  const parts = [];
  const directory = [];
  let at = 0;
  for (const one of entries) {
    const { path, common, packed } = entry(one);
    const local = Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), common, path, packed]);
    directory.push(Buffer.concat([Buffer.from('PK\x01\x02\x14\x00', 'latin1'), common, Buffer.alloc(10), offset(at), path]));
    parts.push(local);
    at += local.length;
  }
  const list = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.write('PK\x05\x06', 'latin1');
  end.writeUInt16LE(entries.length, 8);
  end.writeUInt16LE(entries.length, 10);
  end.writeUInt32LE(list.length, 12);
  end.writeUInt32LE(at, 16);
  return Buffer.concat([...parts, list, end]);
}

function offset(at) {
  const bytes = Buffer.alloc(4);
  bytes.writeUInt32LE(at);
  return bytes;
}

/** A deflate stream of `mebibytes` zero bytes, a thousand times smaller. */
export function manyZeros(mebibytes) {
  const block = deflateRawSync(Buffer.alloc(1 << 20), { finishFlush: constants.Z_FULL_FLUSH });
  return Buffer.concat([...Array.from({ length: mebibytes }, () => block), deflateRawSync(Buffer.alloc(0))]);
}

/** A book: `sheets` are `{ name, path, fields, csv }`; what is given in `more` is written beside or in place. */
export function bookOf({ title = 'A book', sheets = [], version = 1, more = [] }) {
  const described = {
    name: 'fairpen-book', title,
    resources: sheets.map(({ name, path = `${name}.csv`, fields }) => ({ name, path, schema: { fields } })),
  };
  const files = [
    { name: 'datapackage.json', bytes: Buffer.from(JSON.stringify(described)) },
    { name: 'settings.json', bytes: Buffer.from(JSON.stringify({ format: 'fairpen-book', version, settings: { title } })) },
    ...sheets.filter(({ csv }) => csv !== undefined).map(({ name, path = `${name}.csv`, csv }) => ({ name: path, bytes: Buffer.from(csv) })),
  ];
  const replaced = new Set(more.map(({ name }) => name));
  return zipOf([...files.filter(({ name }) => !replaced.has(name)), ...more]);
}
