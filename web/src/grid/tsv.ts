/**
 * The text that crosses the clipboard.
 *
 * Enters: rows of text, or text as spreadsheets put it on the clipboard (tabs, line ends, quotes).
 * Leaves: the other one. Printing and parsing again gives the same rows.
 * Always true: every parsed row is returned, short rows stay short, an empty cell is ''.
 * Never: guesses at commas or types.
 */

const NEEDS_QUOTES = /[\t\r\n"]/;

export function printTsv(rows: readonly (readonly string[])[]): string {
  return rows
    .map((row) => row.map((text) => (NEEDS_QUOTES.test(text) ? `"${text.replaceAll('"', '""')}"` : text)).join('\t'))
    .join('\r\n');
}

/** One trailing line end closes the last row, it does not open another. */
export function parseTsv(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let at = 0;
  const n = text.length;
  if (n === 0) return [['']];
  for (;;) {
    let cell = '';
    if (text[at] === '"') {
      const end = closingQuote(text, at);
      if (end >= 0) {
        cell = text.slice(at + 1, end).replaceAll('""', '"');
        at = end + 1;
      } else {
        [cell, at] = plainCell(text, at);
      }
    } else {
      [cell, at] = plainCell(text, at);
    }
    row.push(cell);
    if (at < n && text[at] === '\t') { at += 1; continue; }
    rows.push(row);
    row = [];
    if (at >= n) return rows;
    at += text[at] === '\r' && text[at + 1] === '\n' ? 2 : 1;
    if (at >= n) return rows;
  }
}

function plainCell(text: string, from: number): [string, number] {
  let at = from;
  while (at < text.length && text[at] !== '\t' && text[at] !== '\n' && text[at] !== '\r') at += 1;
  return [text.slice(from, at), at];
}

/**
 * A quote only opens a quoted cell when its partner stands right before a tab, a line end or the end;
 * 6'2" or a lone " in a remark stays as it is.
 */
function closingQuote(text: string, open: number): number {
  let at = open + 1;
  for (;;) {
    at = text.indexOf('"', at);
    if (at < 0) return -1;
    if (text[at + 1] === '"') { at += 2; continue; }
    const next = text[at + 1];
    return next === undefined || next === '\t' || next === '\n' || next === '\r' ? at : -1;
  }
}

const ENTITY: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
const escapeHtml = (text: string): string => text.replace(/[&<>"]/g, (sign) => ENTITY[sign] ?? sign);

/** A bare table, for word processors and mail; every text escaped. */
export function printHtml(rows: readonly (readonly string[])[]): string {
  const body = rows.map((row) => `<tr>${row.map((text) => `<td>${escapeHtml(text)}</td>`).join('')}</tr>`).join('');
  return `<table>${body}</table>`;
}
