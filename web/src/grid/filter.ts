/**
 * The filter row and the list of values.
 *
 * Enters: columns and, on request, the distinct values of one. Leaves: `fp-filter`.
 * Always true: fields keep their text while columns stay; the list says how many it does not show.
 * Never: hides rows itself.
 */
import { pinAt } from './columns.js';
import type { ColumnFilter, GridColumn } from './contract.js';
import { HEADER_ROW } from './selection.js';
import type { Sheet } from './sheet.js';
import { ValueList } from './value-list.js';
import { count } from './words.js';

const TYPING_PAUSE_MS = 160;

export class FilterRow {
  readonly element = document.createElement('div');
  /** Search over all columns, set by the page. */
  text = '';
  private filters = new Map<string, ColumnFilter>();
  private fields: HTMLInputElement[] = [];
  private buttons: HTMLButtonElement[] = [];
  private timer = 0;
  private readonly list: ValueList;

  constructor(private readonly sheet: Sheet) {
    this.element.className = 'fpg-filters';
    this.element.setAttribute('role', 'row');
    this.element.setAttribute('aria-rowindex', '2');
    this.element.hidden = true;
    this.list = new ValueList(sheet);
  }

  get shown(): boolean { return !this.element.hidden; }
  get byColumn(): ColumnFilter[] { return [...this.filters.values()]; }

  /** For a page that opens with filters already in force; emits nothing. */
  setFilters(filters: readonly ColumnFilter[]): void {
    this.filters = new Map(filters.map((filter) => [filter.column, filter]));
    this.sheet.columns.forEach((column, index) => {
      const field = this.fields[index];
      if (field) field.value = this.filters.get(column.key)?.contains ?? '';
    });
    this.mark();
  }

  reset(): void {
    this.fields = [];
    this.buttons = [];
    this.element.replaceChildren(...this.sheet.columns.map((column, index) => this.make(column, index)));
    this.mark();
  }

  /** After the number of columns that stay in sight changed. */
  pin(): void {
    [...this.element.children].forEach((cell, index) => pinAt(cell as HTMLElement, index, this.sheet.layout));
  }

  private make(column: GridColumn, index: number): HTMLElement {
    const cell = document.createElement('div');
    cell.className = 'fpg-filter';
    cell.setAttribute('role', 'gridcell');
    cell.setAttribute('aria-colindex', String(index + 1));
    cell.style.width = `var(--fpg-w${index})`;
    pinAt(cell, index, this.sheet.layout);
    const field = document.createElement('input');
    field.type = 'text';
    field.tabIndex = -1;
    field.autocomplete = 'off';
    field.spellcheck = false;
    // Numbers and dates are found by a range as well.
    const range = column.kind === 'number' ? '>500' : column.kind === 'date' ? '>2026-03-31' : '';
    field.placeholder = range === '' ? 'find' : column.kind === 'date' ? '> date' : range;
    field.title = range === '' ? '' : `Part of the text, or a range: ${range}, ${column.kind === 'date' ? '2026-03-01..2026-03-31' : '500..600'}`;
    field.setAttribute('aria-label', `${column.label} contains${range === '' ? '' : `, or is in a range such as ${range}`}`);
    field.value = this.filters.get(column.key)?.contains ?? '';
    field.addEventListener('input', () => {
      this.change(column.key, { contains: field.value === '' ? undefined : field.value });
      window.clearTimeout(this.timer);
      this.timer = window.setTimeout(() => this.emit(), TYPING_PAUSE_MS);
    });
    field.addEventListener('keydown', (event) => this.key(event, index));
    field.addEventListener('focus', () => this.sheet.scrollSideways(
      this.sheet.layout.reveal(index, this.sheet.scroller.scrollLeft, this.sheet.scroller.clientWidth)));
    const button = document.createElement('button');
    button.type = 'button';
    button.tabIndex = -1;
    button.className = 'fpg-pick';
    button.setAttribute('aria-label', `Choose values of ${column.label}`);
    button.setAttribute('aria-haspopup', 'dialog');
    button.addEventListener('click', () => this.openList(index));
    this.fields.push(field);
    this.buttons.push(button);
    cell.append(field, button);
    return cell;
  }

  focus(index: number): void { this.fields[index]?.focus(); }

  private key(event: KeyboardEvent, index: number): void {
    if (event.isComposing) return;
    const to = (row: number): void => {
      event.preventDefault();
      this.sheet.select({ row, column: index });
      this.sheet.focusSheet();
    };
    if (event.key === 'Escape' || (event.key === 'ArrowDown' && !event.altKey) || event.key === 'Enter') {
      if (event.key === 'Enter') { window.clearTimeout(this.timer); this.emit(); }
      to(0);
    } else if (event.key === 'ArrowDown') {
      event.preventDefault();
      this.openList(index);
    } else if (event.key === 'ArrowUp') to(HEADER_ROW);
    else if (event.key === 'Tab') {
      const next = this.fields[index + (event.shiftKey ? -1 : 1)];
      if (next) { event.preventDefault(); next.focus(); }
    } else return;
    event.stopPropagation();
  }

  openList(index: number): void {
    const column = this.sheet.columns[index];
    const anchor = this.buttons[index];
    const { source } = this.sheet;
    if (!column || !anchor || !source) return;
    void this.list.open({
      column, anchor, values: source.values(column.key), chosen: this.filters.get(column.key)?.values,
      done: (values) => { this.change(column.key, { values }); this.emit(); },
      closed: () => { if (this.shown) anchor.focus(); else this.sheet.focusSheet(); },
    });
  }

  private change(column: string, part: { contains?: string | undefined } | { values?: string[] | undefined }): void {
    const merged = { ...this.filters.get(column), column, ...part };
    const kept: ColumnFilter = { column };
    if (merged.contains !== undefined) kept.contains = merged.contains;
    if (merged.values !== undefined) kept.values = merged.values;
    if (kept.contains === undefined && kept.values === undefined) this.filters.delete(column);
    else this.filters.set(column, kept);
    this.mark();
  }

  clear(): void {
    this.setFilters([]);
    this.emit();
  }

  emit(): void {
    this.sheet.emit('fp-filter', { text: this.text, byColumn: this.byColumn });
    // The host filters and calls refresh; the count is said after it had its turn.
    window.setTimeout(() => this.sheet.say(`${count(this.sheet.nRows, 'row', 'rows')} shown.`), 250);
  }

  private mark(): void {
    this.sheet.columns.forEach((column, index) => {
      const filter = this.filters.get(column.key);
      this.buttons[index]?.classList.toggle('fpg-on', filter?.values !== undefined);
      this.fields[index]?.classList.toggle('fpg-on', filter?.contains !== undefined);
    });
  }
}
