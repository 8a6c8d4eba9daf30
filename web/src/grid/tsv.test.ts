import assert from 'node:assert/strict';
import { test } from 'node:test';
import { parseTsv, printHtml, printTsv } from './tsv.js';

test('rows and cells', () => {
  assert.deepEqual(parseTsv('a\tb\nc\td'), [['a', 'b'], ['c', 'd']]);
  assert.deepEqual(parseTsv('a\tb\r\nc\td\r\n'), [['a', 'b'], ['c', 'd']]);
  assert.deepEqual(parseTsv('a\rb'), [['a'], ['b']]);
});

test('empty cells and lines are kept, one closing line end is not a row', () => {
  assert.deepEqual(parseTsv('\t\n\nx\n'), [['', ''], [''], ['x']]);
  assert.deepEqual(parseTsv(''), [['']]);
  assert.deepEqual(parseTsv('\n'), [['']]);
  assert.deepEqual(parseTsv('a\t'), [['a', '']]);
});

test('quoted cells may hold tabs, line ends and quotes', () => {
  assert.deepEqual(parseTsv('"a\tb"\t"line 1\nline 2"\t"say ""now"""'), [['a\tb', 'line 1\nline 2', 'say "now"']]);
});

test('a quote that closes nowhere is an ordinary sign', () => {
  assert.deepEqual(parseTsv('"half\tb'), [['"half', 'b']]);
  assert.deepEqual(parseTsv('"red" calf\tb'), [['"red" calf', 'b']]);
  assert.deepEqual(parseTsv(`6'2"\tb`), [[`6'2"`, 'b']]);
});

test('print and parse again gives the same rows', () => {
  const cases = [
    [['a', 'b'], ['c', 'd']],
    [['', ''], ['', 'x']],
    [['"', '""', 'a"b'], ['\t', '\n', '\r\n']],
    [['=1+1', '<b>', ' x ']],
    [['x'], ['']],
  ];
  for (const rows of cases) {
    const text = printTsv(rows);
    // A last row of one empty cell cannot be told from a closing line end.
    const expected = rows.length > 1 && rows[rows.length - 1]?.join('') === '' && rows[rows.length - 1]?.length === 1
      ? rows.slice(0, -1) : rows;
    assert.deepEqual(parseTsv(text), expected, JSON.stringify(text));
  }
});

test('the HTML table escapes every text', () => {
  assert.equal(
    printHtml([['<img src=x onerror=1>', '"&"']]),
    '<table><tr><td>&lt;img src=x onerror=1&gt;</td><td>&quot;&amp;&quot;</td></tr></table>',
  );
});

test('a large paste parses in far less than a second', () => {
  const text = Array.from({ length: 20_000 }, (_, row) => `${row}\t1\t2\t3\t"q ${row}"`).join('\r\n');
  const start = performance.now();
  assert.equal(parseTsv(text).length, 20_000);
  assert.ok(performance.now() - start < 1000);
});
