/**
 * The rows of a sheet on paper, where a grid that draws only what is in sight will not do.
 *
 * Enters: the source of the sheet and its columns. Leaves: a plain table, there only while printing.
 * Always true: rows stand in the order and with the filter of the screen; says so when not all are printed.
 * Never: holds texts for longer than the next change of the book.
 */
import type { SheetSource } from './source.ts';

/** Beyond this, paper is the wrong place; the CSV table holds them all. */
const MOST_ROWS = 1_500;

export class OnPaper {
  private cells: string[] = [];
  private heads: string[] = [];
  private numbers: boolean[] = [];
  private nRows = 0;
  private nAll = 0;
  private table: HTMLElement | undefined;
  private asked = 0;

  constructor(private readonly host: HTMLElement) {}

  readonly before = (): void => {
    const table = document.createElement('table');
    const row = (cells: readonly string[], tag: 'th' | 'td'): HTMLTableRowElement => {
      const line = document.createElement('tr');
      cells.forEach((text, column) => {
        const cell = document.createElement(tag);
        cell.textContent = text;
        if (this.numbers[column] === true) cell.className = 'number';
        line.append(cell);
      });
      return line;
    };
    table.createTHead().append(row(this.heads, 'th'));
    const body = table.createTBody();
    const width = this.heads.length;
    for (let at = 0; at < this.nRows; at += 1) body.append(row(this.cells.slice(at * width, (at + 1) * width), 'td'));
    this.table = document.createElement('div');
    this.table.className = 'on-paper';
    this.table.append(table);
    if (this.nRows < this.nAll) {
      const note = document.createElement('p');
      note.textContent = `The first ${this.nRows.toLocaleString('en-US')} of ${this.nAll.toLocaleString('en-US')} rows. The CSV table holds them all.`;
      this.table.prepend(note);
    }
    this.host.append(this.table);
  };

  readonly after = (): void => {
    this.table?.remove();
    this.table = undefined;
  };

  /** Fetches the texts ahead, as printing does not wait. */
  async follow(source: SheetSource): Promise<void> {
    const turn = (this.asked += 1);
    const columns = source.columns;
    const { text, nRows } = await source.window(0, Math.min(MOST_ROWS, source.nRows), columns.map((column) => column.key));
    if (turn !== this.asked) return;
    this.cells = text;
    this.nRows = nRows;
    this.nAll = source.nRows;
    this.heads = columns.map((column) => (column.unit === '' ? column.label : `${column.label} (${column.unit})`));
    this.numbers = columns.map((column) => column.kind === 'number');
  }
}
