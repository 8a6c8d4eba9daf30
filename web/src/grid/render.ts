/**
 * The rows on the screen.
 *
 * Enters: where the sheet stands and what has arrived. Leaves: recycled row elements that say so.
 * Always true: a row element keeps its row until that row leaves the view; only what changed is written.
 * Never: parses text as markup; asks the source for anything.
 */
import { FLAG, type GridColumn } from './contract.js';
import { cellsIn, contains } from './selection.js';
import type { Sheet } from './sheet.js';
import { cellName, NEW_ROW } from './words.js';

/** Beyond this distance rows are re-based so that transforms stay small and exact. */
const REBASE_ROWS = 5_000;
/** Unpinned columns kept on each side of what shows. */
const SPARE_COLUMNS = 2;
/** Points above or below 100 at which the bar is full. */
const BAR_REACH = 20;

interface CellSlot { element: HTMLElement; text: Text; column: number; place: string; shown: string; /** All of the text, whether or not it has room. */ said: string; look: string; bar: HTMLElement | null; barAt: number }
interface RowSlot { element: HTMLElement; row: number; cells: CellSlot[]; hidden: boolean }

export class Body {
  readonly element = document.createElement('div');
  private readonly layer = document.createElement('div');
  private slots: RowSlot[] = [];
  private base = 0;
  private span: [number, number] = [1, 1];
  private looks: string[] = [];
  private activeCell: CellSlot | null = null;
  private readonly handle = document.createElement('div');
  /** A remark about the active cell, once it is known. */
  remark: { rowKey: number; column: string; text: string } | null = null;

  constructor(private readonly sheet: Sheet) {
    this.element.className = 'fpg-body';
    this.element.setAttribute('role', 'rowgroup');
    this.layer.className = 'fpg-layer';
    this.layer.setAttribute('role', 'presentation');
    this.element.append(this.layer);
    this.handle.className = 'fpg-fill';
  }

  /** New columns: every cell is made anew at the next draw. */
  reset(): void {
    this.layer.replaceChildren();
    this.slots = [];
    this.looks = this.sheet.columns.map((column) => lookOf(column));
    this.activeCell = null;
  }

  draw(scrollLeft: number, viewWidth: number): void {
    const { rowScroll: scroll, layout } = this.sheet;
    const first = scroll.firstRow;
    const [from, to] = layout.visible(scrollLeft, viewWidth);
    if (from < this.span[0] || to > this.span[1] || this.slots.length === 0) this.respan(from, to);
    const needed = Math.ceil(scroll.viewHeight / scroll.rowHeight) + 2;
    if (this.slots.length !== needed) this.resize(needed);
    if (Math.abs(first - this.base) > REBASE_ROWS) {
      this.base = first;
      for (const slot of this.slots) slot.row = -1;
    }
    this.layer.style.transform = `translateY(${-Math.round(scroll.top - this.base * scroll.rowHeight)}px)`;
    for (let row = first; row < first + needed; row += 1) {
      const slot = this.slots[row % needed];
      if (slot) this.drawRow(slot, row);
    }
    this.markActive();
  }

  private respan(from: number, to: number): void {
    this.span = [Math.max(this.sheet.layout.pinned, from - SPARE_COLUMNS), Math.min(this.sheet.columns.length, to + SPARE_COLUMNS)];
    this.activeCell = null;
    for (const slot of this.slots) this.fillRow(slot);
    const gap = this.sheet.layout.left(this.span[0]) - this.sheet.layout.pinnedWidth;
    this.layer.style.setProperty('--fpg-gap', `${gap}px`);
  }

  /** After a width changed: the room before the first unpinned cell moves with it. */
  regap(): void {
    const gap = this.sheet.layout.left(this.span[0]) - this.sheet.layout.pinnedWidth;
    this.layer.style.setProperty('--fpg-gap', `${gap}px`);
  }

  private resize(needed: number): void {
    while (this.slots.length > needed) this.slots.pop()?.element.remove();
    while (this.slots.length < needed) {
      const element = document.createElement('div');
      element.className = 'fpg-row';
      element.setAttribute('role', 'row');
      const slot: RowSlot = { element, row: -1, cells: [], hidden: false };
      this.fillRow(slot);
      this.slots.push(slot);
      this.layer.append(element);
    }
    for (const slot of this.slots) slot.row = -1;
  }

  private fillRow(slot: RowSlot): void {
    slot.row = -1;
    slot.cells = [];
    const { columns, layout } = this.sheet;
    for (let column = 0; column < Math.min(layout.pinned, columns.length); column += 1) slot.cells.push(this.makeCell(column));
    for (let column = this.span[0]; column < this.span[1]; column += 1) slot.cells.push(this.makeCell(column));
    slot.element.replaceChildren(...slot.cells.map((cell) => cell.element));
  }

  private makeCell(index: number): CellSlot {
    const column = this.sheet.columns[index];
    const element = document.createElement('div');
    element.setAttribute('role', 'gridcell');
    element.setAttribute('aria-colindex', String(index + 1));
    if (column && !column.editable) element.setAttribute('aria-readonly', 'true');
    element.style.width = `var(--fpg-w${index})`;
    const { pinned } = this.sheet.layout;
    if (index < pinned) element.style.left = `var(--fpg-l${index})`;
    const place = index === pinned - 1 ? ' fpg-pin fpg-pin-last' : index < pinned ? ' fpg-pin' : index === this.span[0] ? ' fpg-after-gap' : '';
    let bar: HTMLElement | null = null;
    if (column?.bar) {
      const frame = document.createElement('span');
      frame.className = 'fpg-bar';
      // Missing until told otherwise: no value, no bar.
      frame.hidden = true;
      bar = document.createElement('span');
      frame.append(bar);
      element.append(frame);
    }
    const text = document.createTextNode('');
    element.append(text);
    return { element, text, column: index, place, shown: '', said: '', look: '', bar, barAt: NaN };
  }

  private drawRow(slot: RowSlot, row: number): void {
    const { sheet } = this;
    const hidden = row >= sheet.totalRows;
    if (hidden !== slot.hidden) { slot.element.hidden = hidden; slot.hidden = hidden; }
    if (hidden) { slot.row = -1; return; }
    if (slot.row !== row) {
      slot.row = row;
      slot.element.style.transform = `translateY(${(row - this.base) * sheet.rowScroll.rowHeight}px)`;
      slot.element.setAttribute('aria-rowindex', String(row + 1 + sheet.headRows));
    }
    const isNew = row >= sheet.nRows;
    const place = isNew ? null : sheet.cache.place(row);
    const rowKey = place ? place.window.rowKeys[place.index] ?? 0 : 0;
    const offset = place ? place.index * sheet.columns.length : 0;
    const { active, range, fillPreview } = sheet;
    const wide = cellsIn(range) > 1;
    for (const cell of slot.cells) {
      const column = sheet.columns[cell.column];
      if (!column) continue;
      const waiting = isNew ? sheet.changes.newText(column.key) : place ? sheet.changes.text(rowKey, column.key) : undefined;
      const at = offset + cell.column;
      let text = waiting ?? (place ? place.window.text[at] ?? '' : '');
      let look = `${this.looks[cell.column] ?? ''}${cell.place}`;
      if (isNew) {
        look += ' fpg-new';
        if (cell.column === 0 && text === '') text = NEW_ROW;
      } else if (!place) look += ' fpg-absent';
      if (waiting !== undefined) look += ' fpg-waiting';
      const flags = place && waiting === undefined ? place.window.flags[at] ?? 0 : 0;
      if (flags) look += flagLook(flags);
      const selected = active.row >= 0 && contains(range, row, cell.column);
      if (selected && wide) look += ' fpg-selected';
      if (active.row === row && active.column === cell.column) look += ' fpg-active';
      if (fillPreview && contains(fillPreview, row, cell.column)) look += ' fpg-filling';
      if (waiting === undefined) text = forEyes(column, text);
      cell.said = text;
      if (column.kind === 'number' && text.length > FEW_DIGITS && !sheet.layout.hasRoom(cell.column, text)) text = NO_ROOM;
      if (text !== cell.shown) { cell.text.data = text; cell.shown = text; }
      if (look !== cell.look) {
        cell.element.className = look;
        if (selected) cell.element.setAttribute('aria-selected', 'true');
        else cell.element.removeAttribute('aria-selected');
        cell.look = look;
      }
      if (cell.bar) drawBar(cell, place?.window.values?.[at] ?? NaN);
    }
  }

  private find(row: number, column: number): CellSlot | null {
    const slot = this.slots[row % Math.max(1, this.slots.length)];
    if (!slot || slot.row !== row) return null;
    return slot.cells.find((cell) => cell.column === column) ?? null;
  }

  /** Names the active cell for screen readers, and hangs the fill handle on the end of the range. */
  private markActive(): void {
    const { sheet } = this;
    const { active, range } = sheet;
    const cell = active.row >= 0 ? this.find(active.row, active.column) : null;
    if (this.activeCell && this.activeCell !== cell) {
      this.activeCell.element.removeAttribute('id');
      this.activeCell.element.removeAttribute('aria-label');
    }
    this.activeCell = cell;
    if (active.row >= 0) {
      const column = sheet.columns[active.column];
      if (cell && column) {
        const place = sheet.cache.place(active.row);
        const rowKey = place ? place.window.rowKeys[place.index] ?? 0 : 0;
        const about = this.remark;
        const name = cellName({
          row: active.row, column, text: cell.said,
          flags: place ? place.window.flags[place.index * sheet.columns.length + active.column] ?? 0 : 0,
          waiting: place ? sheet.changes.text(rowKey, column.key) !== undefined : false,
          remark: about && about.rowKey === rowKey && about.column === column.key ? about.text : '',
        });
        const id = `${sheet.uid}-cell-${active.row}-${active.column}`;
        if (cell.element.getAttribute('aria-label') !== name) cell.element.setAttribute('aria-label', name);
        if (cell.element.id !== id) cell.element.id = id;
        if (sheet.scroller.getAttribute('aria-activedescendant') !== id) {
          sheet.scroller.setAttribute('aria-activedescendant', id);
        }
      } else sheet.scroller.removeAttribute('aria-activedescendant');
    }
    const corner = active.row >= 0 ? this.find(range.lastRow, range.lastColumn) : null;
    if (!corner) this.handle.remove();
    else if (this.handle.parentElement !== corner.element) corner.element.append(this.handle);
  }
}

/** Stands for a number that is wider than its cell; the entry line and the cell's name have all of it. */
const NO_ROOM = '####';
/** As many fit in the narrowest column. */
const FEW_DIGITS = 3;

const NEGATIVE = /^-\d/;

/** The minus sign people read. What is copied or typed over keeps the keyboard's hyphen. */
function forEyes(column: GridColumn, text: string): string {
  return column.kind === 'number' && NEGATIVE.test(text) ? `\u2212${text.slice(1)}` : text;
}

function lookOf(column: GridColumn): string {
  return `fpg-cell fpg-${column.kind} fpg-${column.origin}${column.editable ? '' : ' fpg-fixed'}`;
}

function flagLook(flags: number): string {
  if (flags & FLAG.error) return ' fpg-error';
  if (flags & FLAG.unreadable) return ' fpg-unreadable';
  if (flags & FLAG.doubtful) return ' fpg-doubtful';
  return ' fpg-missing';
}

function drawBar(cell: CellSlot, value: number): void {
  if (!cell.bar || Object.is(value, cell.barAt)) return;
  cell.barAt = value;
  const reach = Number.isNaN(value) ? 0 : Math.max(-1, Math.min(1, (value - 100) / BAR_REACH));
  if (cell.bar.parentElement) cell.bar.parentElement.hidden = Number.isNaN(value);
  // Grows from the middle, to the left when negative; a transform moves no box.
  cell.bar.style.transform = `scaleX(${reach})`;
}
