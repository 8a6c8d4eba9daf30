/**
 * The table of a copied piece of another program's page.
 *
 * Enters: clipboard markup. Leaves: rows of plain text, or null where it holds no table.
 * Always true: a cell that covers several places stands in the first and leaves the others blank; line breaks
 *   inside a cell become spaces, since a cell of a sheet is one line.
 * Never: puts the markup into the page: it is read in a document of its own, where nothing runs or loads.
 */
const MOST_ACROSS = 1000;

/** Places covered by a cell; anything that is not a sensible count is one. */
const covered = (cell: Element, name: string): number => {
  const n = Number(cell.getAttribute(name) ?? 1);
  return Number.isInteger(n) && n >= 1 ? Math.min(n, MOST_ACROSS) : 1;
};

function textOf(cell: Element): string {
  for (const unseen of cell.querySelectorAll('script, style, template')) unseen.remove();
  for (const gap of cell.querySelectorAll('br, p, div, li')) gap.before(' ');
  return (cell.textContent ?? '').replace(/[\s\u00a0]+/g, ' ').trim();
}

export function parseHtmlTable(markup: string): string[][] | null {
  if (!/<table[\s>]/i.test(markup)) return null;
  const table = new DOMParser().parseFromString(markup, 'text/html').querySelector('table');
  if (!table) return null;
  const lines = [...table.querySelectorAll('tr')].filter((line) => line.closest('table') === table);
  const rows: string[][] = lines.map(() => []);
  lines.forEach((line, r) => {
    let c = 0;
    for (const cell of line.querySelectorAll('td, th')) {
      if (cell.closest('tr') !== line) continue;
      while (rows[r]?.[c] !== undefined) c += 1;
      const down = Math.min(covered(cell, 'rowspan'), lines.length - r);
      const across = covered(cell, 'colspan');
      for (let y = 0; y < down; y += 1) {
        for (let x = 0; x < across; x += 1) {
          const row = rows[r + y];
          if (row) row[c + x] = '';
        }
      }
      const here = rows[r];
      if (here) here[c] = textOf(cell);
      c += across;
    }
  });
  const filled = rows.map((row) => Array.from(row, (text) => text ?? ''));
  return filled.some((row) => row.length > 0) ? filled : null;
}

/**
 * What to paste: the plain text where it has the shape of the table, since programs print that exactly as it
 * stands; the table where its plain form has lost its shape, as with line breaks inside cells.
 */
export function pastedRows(plain: string[][] | null, table: string[][] | null): string[][] | null {
  if (!plain || !table) return plain ?? table;
  const shape = (rows: string[][]): string => `${rows.length} ${rows.reduce((most, row) => Math.max(most, row.length), 0)}`;
  return shape(plain) === shape(table) ? plain : table;
}
