/**
 * Copy, cut and paste.
 *
 * Enters: clipboard events on the sheet. Leaves: tab-separated text and a plain table out; block changes in.
 * Always true: what is copied is what is shown, in view order; one value pasted on a range fills it.
 * Never: inserts clipboard markup into the page; of a table of another program the texts are read, no more.
 */
import { changeBlock, clearRange, tooMany } from './block.js';
import { parseHtmlTable, pastedRows } from './html-table.js';
import { cellsIn, columnsIn, rowsIn } from './selection.js';
import type { Sheet } from './sheet.js';
import { parseTsv, printHtml, printTsv } from './tsv.js';
import { COPY_WAITS, count } from './words.js';

/** Rows of the range as shown, or null when some are not here yet. */
function rowsAtHand(sheet: Sheet): string[][] | null {
  const { range } = sheet;
  const rows: string[][] = [];
  for (let row = range.firstRow; row <= Math.min(range.lastRow, sheet.nRows - 1); row += 1) {
    const place = sheet.cache.place(row);
    if (!place) return null;
    const rowKey = place.window.rowKeys[place.index] ?? 0;
    const cells: string[] = [];
    for (let index = range.firstColumn; index <= range.lastColumn; index += 1) {
      const column = sheet.columns[index];
      cells.push((column && sheet.changes.text(rowKey, column.key)) ?? sheet.cache.text(row, index) ?? '');
    }
    rows.push(cells);
  }
  return rows;
}

async function rowsFetched(sheet: Sheet): Promise<string[][]> {
  const { range, source } = sheet;
  if (!source) return [];
  const nRows = Math.min(range.lastRow, sheet.nRows - 1) - range.firstRow + 1;
  const keys = sheet.columns.slice(range.firstColumn, range.lastColumn + 1).map((column) => column.key);
  const window = await source.window(range.firstRow, nRows, keys);
  return Array.from({ length: nRows }, (_, row) => window.text.slice(row * keys.length, (row + 1) * keys.length));
}

export class Clipboard {
  /** Text fetched for a copy that could not be answered at once. */
  private ready: { range: string; rows: string[][] } | null = null;

  constructor(private readonly sheet: Sheet) {
    const { scroller } = sheet;
    // Safari only offers copy on unselectable ground when this event is claimed.
    scroller.addEventListener('beforecopy', (event) => event.preventDefault());
    scroller.addEventListener('copy', (event) => { if (this.isOurs(event)) this.copy(event, false); });
    scroller.addEventListener('cut', (event) => { if (this.isOurs(event)) this.copy(event, true); });
    scroller.addEventListener('paste', (event) => { if (this.isOurs(event)) this.paste(event); });
  }

  /** Filter fields live inside the scroller and keep their own clipboard. */
  private isOurs(event: Event): boolean {
    return !(event.target instanceof HTMLInputElement) && this.sheet.active.row >= 0;
  }

  private copy(event: ClipboardEvent, cut: boolean): void {
    const { sheet } = this;
    event.preventDefault();
    if (tooMany(sheet, cellsIn(sheet.range))) return;
    const rangeName = JSON.stringify([sheet.range, sheet.source?.revision]);
    const rows = rowsAtHand(sheet) ?? (this.ready?.range === rangeName ? this.ready.rows : null);
    if (rows && event.clipboardData) {
      event.clipboardData.setData('text/plain', printTsv(rows));
      event.clipboardData.setData('text/html', printHtml(rows));
      this.copied(cut);
      return;
    }
    const fetched = rowsFetched(sheet);
    const part = (type: string, print: (rows: string[][]) => string): Promise<Blob> =>
      fetched.then((given) => new Blob([print(given)], { type }));
    const written = typeof ClipboardItem === 'function' && navigator.clipboard
      ? navigator.clipboard.write([new ClipboardItem({
        'text/plain': part('text/plain', printTsv), 'text/html': part('text/html', printHtml),
      })])
      : Promise.reject(new Error('no clipboard'));
    written.then(() => this.copied(cut), () => {
      sheet.hint(COPY_WAITS);
      fetched.then((given) => { this.ready = { range: rangeName, rows: given }; },
        (problem: unknown) => sheet.hint(String(problem)));
    });
  }

  private copied(cut: boolean): void {
    const { sheet } = this;
    if (cut) void clearRange(sheet);
    else sheet.say(`Copied ${count(cellsIn(sheet.range), 'cell', 'cells')}.`);
  }

  private paste(event: ClipboardEvent): void {
    event.preventDefault();
    const text = event.clipboardData?.getData('text/plain') ?? '';
    const markup = event.clipboardData?.getData('text/html') ?? '';
    const rows = pastedRows(text === '' ? null : parseTsv(text), markup === '' ? null : parseHtmlTable(markup));
    if (rows) void this.pasteRows(rows);
  }

  /** Copies without a key press; the browser may ask. */
  async copyByButton(): Promise<void> {
    const { sheet } = this;
    if (tooMany(sheet, cellsIn(sheet.range))) return;
    try {
      await navigator.clipboard.writeText(printTsv(rowsAtHand(sheet) ?? await rowsFetched(sheet)));
      this.copied(false);
    } catch {
      sheet.hint('The browser did not allow copying. Use the copy key instead.');
    }
  }

  async pasteByButton(): Promise<void> {
    try {
      const text = await navigator.clipboard.readText();
      if (text !== '') await this.pasteRows(parseTsv(text));
    } catch {
      this.sheet.hint('The browser did not allow pasting. Use the paste key instead.');
    }
  }

  async pasteRows(rows: string[][]): Promise<boolean> {
    const { sheet } = this;
    const { range } = sheet;
    const single = rows.length === 1 && rows[0]?.length === 1 ? rows[0][0] : undefined;
    if (single !== undefined && cellsIn(range) > 1) return changeBlock(sheet, range, () => single, 'paste');
    const nColumns = rows.reduce((most, row) => Math.max(most, row.length), 0);
    const target = {
      firstRow: range.firstRow, firstColumn: range.firstColumn,
      lastRow: range.firstRow + rows.length - 1, lastColumn: range.firstColumn + nColumns - 1,
    };
    return changeBlock(sheet, target, (row, column) => rows[row]?.[column], 'paste', () => {
      if (rowsIn(target) === 1 && columnsIn(target) === 1) return;
      sheet.select(
        { row: target.firstRow, column: target.firstColumn },
        { row: Math.min(target.lastRow, sheet.totalRows - 1), column: Math.min(target.lastColumn, sheet.columns.length - 1) },
      );
    });
  }
}
