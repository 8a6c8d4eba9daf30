// What enters: the table as it stands in the file, and what was handed over. What leaves: the same table,
// sortable, searchable, walked with the arrow keys, with marks.
// Always true: rows are moved and hidden, never rewritten; one cell of the table is in the tab order.
// Never: loses a row.

import type { HandedOver } from './handed-over.ts';
import { markOf, markSign, type Letter } from './marks.ts';
import { sorted } from './order.ts';

/** Numbers are shown with it; people type the hyphen. */
const MINUS = '\u2212';

/** What the table tells the page. */
export interface TableEvents {
  /** A figure was asked about. */
  ask: (row: number, key: string, mark: Letter | undefined) => void;
  /** So many calves are shown. */
  shown: (n: number) => void;
}

export class CalfTable {
  private readonly rows: HTMLTableRowElement[];
  private readonly heads: HTMLTableCellElement[];
  private readonly texts: string[];
  private readonly marks: Array<Map<string, Letter>>;
  private order: number[];
  private sortedBy = { at: -1, descending: false };
  private current: HTMLTableCellElement | undefined;

  constructor(
    private readonly table: HTMLTableElement,
    private readonly given: HandedOver,
    private readonly events: TableEvents,
  ) {
    this.rows = [...(table.tBodies[0]?.rows ?? [])];
    this.heads = [...(table.tHead?.rows[0]?.cells ?? [])];
    this.texts = this.rows.map((row) => [...row.cells].map((cell) => cell.textContent).join('\n').toLowerCase().replaceAll(MINUS, '-'));
    this.marks = this.rows.map(() => new Map());
    this.order = this.rows.map((_, at) => at);
    table.setAttribute('role', 'grid');
    table.setAttribute('aria-label', 'Calves. Enter on a heading sorts; Enter on a figure shows how it was made.');
    for (const cell of [...this.heads, ...this.rows.flatMap((row) => [...row.cells])]) cell.tabIndex = -1;
    for (const head of this.heads) head.classList.add('sorts');
    this.stand(this.heads[0]);
    table.addEventListener('click', (event) => this.act(event.target));
    table.addEventListener('keydown', (event) => this.key(event));
    table.addEventListener('focusin', (event) => {
      const cell = this.cellOf(event.target);
      if (cell !== undefined) this.stand(cell);
    });
  }

  /** Puts the engine's marks beside the figures of one column. */
  mark(key: string, letters: string): void {
    const at = this.heads.findIndex((head) => head.dataset['key'] === key);
    if (at < 0) return;
    this.rows.forEach((row, index) => {
      const letter = markOf(letters[index]);
      const cell = row.cells[at];
      if (letter === undefined || cell === undefined) return;
      this.marks[index]?.set(key, letter);
      cell.classList.toggle('differs', letter === 'x');
      cell.classList.add('asks');
      cell.append(' ', markSign(letter));
    });
  }

  /** Shows the calves whose rows hold the text, stand in the group (-1: any) and, if asked, have a figure that does not match. */
  filter(text: string, group: number, onlyDiffering: boolean): void {
    const wanted = text.trim().toLowerCase().replaceAll(MINUS, '-');
    const members = group < 0 ? undefined : new Set(this.given.groups?.groups[group]?.rows);
    let shown = 0;
    this.rows.forEach((row, at) => {
      const here =
        (this.texts[at] ?? '').includes(wanted) &&
        (members === undefined || members.has(at)) &&
        (!onlyDiffering || [...(this.marks[at]?.values() ?? [])].includes('x'));
      row.hidden = !here;
      if (here) shown += 1;
    });
    if (this.current?.closest('tr')?.hidden === true) this.stand(this.heads[0]);
    this.events.shown(shown);
  }

  private sort(at: number): void {
    const column = this.given.columns[at];
    const body = this.table.tBodies[0];
    if (column === undefined || body === undefined) return;
    const number = column.cells.some((cell) => typeof cell === 'number');
    // Numbers are wanted largest first, names from A on.
    const descending = this.sortedBy.at === at ? !this.sortedBy.descending : number;
    this.sortedBy = { at, descending };
    this.order = sorted(this.order, column, descending);
    body.append(...this.order.flatMap((row) => this.rows[row] ?? []));
    this.heads.forEach((head, index) => {
      if (index === at) head.setAttribute('aria-sort', descending ? 'descending' : 'ascending');
      else head.removeAttribute('aria-sort');
    });
  }

  private act(target: EventTarget | null): void {
    // Long text unfolds by itself.
    if (target instanceof Element && target.closest('summary') !== null) return;
    const cell = this.cellOf(target);
    if (cell === undefined) return;
    cell.focus();
    if (cell.parentElement?.parentElement === this.table.tHead) {
      this.sort(cell.cellIndex);
      return;
    }
    const row = Number(cell.closest('tr')?.dataset['row']);
    const key = this.heads[cell.cellIndex]?.dataset['key'];
    if (key !== undefined && cell.classList.contains('f') && cell.textContent.trim() !== '') {
      this.events.ask(row, key, this.marks[row]?.get(key));
    }
  }

  private key(event: KeyboardEvent): void {
    const cell = this.cellOf(event.target);
    if (cell === undefined || event.altKey) return;
    const column = cell.cellIndex;
    const lines = [this.heads[0]?.closest('tr'), ...this.order.map((at) => this.rows[at])].filter(
      (line): line is HTMLTableRowElement => line !== null && line !== undefined && !line.hidden,
    );
    const line = lines.indexOf(cell.closest('tr') as HTMLTableRowElement);
    const far = event.ctrlKey || event.metaKey;
    const last = this.heads.length - 1;
    const to: Record<string, [number, number]> = {
      ArrowRight: [line, far ? last : column + 1],
      ArrowLeft: [line, far ? 0 : column - 1],
      ArrowDown: [far ? lines.length - 1 : line + 1, column],
      ArrowUp: [far ? 0 : line - 1, column],
      PageDown: [Math.min(line + 15, lines.length - 1), column],
      PageUp: [Math.max(line - 15, 0), column],
      Home: [far ? 0 : line, 0],
      End: [far ? lines.length - 1 : line, last],
    };
    if (event.key === 'Enter' || event.key === ' ') {
      if (event.target instanceof Element && event.target.closest('summary') !== null) return;
      event.preventDefault();
      this.act(cell);
      return;
    }
    const next = to[event.key];
    if (next === undefined) return;
    event.preventDefault();
    lines[next[0]]?.cells[next[1]]?.focus();
  }

  private cellOf(target: EventTarget | null): HTMLTableCellElement | undefined {
    const cell = target instanceof Element ? target.closest('td, th') : null;
    return cell instanceof HTMLTableCellElement && this.table.contains(cell) ? cell : undefined;
  }

  private stand(cell: HTMLTableCellElement | undefined): void {
    if (cell === undefined) return;
    if (this.current !== undefined) this.current.tabIndex = -1;
    cell.tabIndex = 0;
    this.current = cell;
  }
}
