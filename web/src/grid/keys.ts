/**
 * What each key does while no cell is being edited.
 *
 * Enters: key events of the focused sheet. Leaves: moves, edits, and events for the host.
 * Always true: Escape then Tab leaves the sheet (no keyboard trap); keys the sheet does not know pass through.
 * Never: acts on keys meant for a field inside the sheet.
 */
import { clearRange, fillFromTop } from './block.js';
import type { FilterRow } from './filter.js';
import type { HeaderRow } from './header.js';
import { columnsIn, edgeAlong, HEADER_ROW, tabFrom, within, type Cell } from './selection.js';
import type { Sheet } from './sheet.js';
import { LEAVING } from './words.js';

const WIDTH_STEP = 8;
const ENDS_TAB_RUN = new Set(['ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight', 'Home', 'End', 'PageUp', 'PageDown', 'Escape']);

/** Where to go once an edit was accepted; `next` and `previous` run on into the neighbouring row. */
export type Way = 'down' | 'up' | 'left' | 'right' | 'next' | 'previous' | 'stay';

export class Keys {
  /** Escape was pressed: the next Tab belongs to the page. */
  private leaving = false;
  /** Column where a run of Tabs began; Enter returns to it. */
  private tabStart: number | null = null;

  constructor(private readonly sheet: Sheet, private readonly header: HeaderRow, private readonly filters: FilterRow) {
    sheet.scroller.addEventListener('keydown', (event) => {
      if (event.target === sheet.scroller) this.key(event);
    });
    sheet.scroller.addEventListener('blur', () => { this.leaving = false; });
    sheet.scroller.addEventListener('pointerdown', () => { this.tabStart = null; });
  }

  private key(event: KeyboardEvent): void {
    // A composing key has no text yet: the field must have the focus before the composition starts.
    if (event.key === 'Process' || event.key === 'Dead' || event.isComposing || event.keyCode === 229) {
      this.sheet.startEdit('type');
      return;
    }
    if (this.sheet.active.row === HEADER_ROW ? this.headerKey(event) : this.cellKey(event)) {
      event.preventDefault();
      event.stopPropagation();
    }
    if (event.key !== 'Escape' && event.key !== 'Shift' && event.key !== 'Tab') this.leaving = false;
    if (ENDS_TAB_RUN.has(event.key)) this.tabStart = null;
  }

  /** Moves after an edit was accepted. */
  step(way: Way): void {
    const { active } = this.sheet;
    if (way === 'next' || way === 'previous') this.tab(way === 'next' ? 1 : -1);
    else if (way === 'right' || way === 'left') this.go({ row: active.row, column: active.column + (way === 'right' ? 1 : -1) });
    else if (way === 'down') this.go({ row: active.row + 1, column: this.tabStart ?? active.column });
    else if (way === 'up') this.go({ row: active.row - 1, column: active.column });
    if (way === 'down' || way === 'up') this.tabStart = null;
  }

  private go(cell: Cell, extend = false): void {
    const { sheet } = this;
    const to = within(cell, sheet.totalRows, sheet.columns.length);
    if (extend) sheet.select(to, sheet.anchor);
    else sheet.select(to);
  }

  private tab(step: 1 | -1): boolean {
    const { sheet } = this;
    const next = tabFrom(sheet.active, step, sheet.totalRows, sheet.columns.length);
    if (!next) return false;
    if (step > 0) this.tabStart ??= sheet.active.column;
    sheet.select(next);
    return true;
  }

  private cellKey(event: KeyboardEvent): boolean {
    const { sheet } = this;
    const { active } = sheet;
    const command = event.ctrlKey || event.metaKey;
    const extend = event.shiftKey;
    const by = (rows: number, columns: number): boolean => {
      if (active.row + rows < 0 && rows === -1 && !extend) return this.upFromFirst(active.column);
      this.go({ row: active.row + rows, column: active.column + columns }, extend);
      return true;
    };
    if (event.altKey && event.key !== 'ArrowDown') return false;
    if (event.key === 'ContextMenu' || (event.key === 'F10' && event.shiftKey)) { sheet.emit('fp-rows', { act: 'menu' }); return true; }
    switch (event.key) {
      case 'ArrowUp': return command ? this.jump(0, -1, extend) : by(-1, 0);
      case 'ArrowDown':
        if (event.altKey) { sheet.startEdit('edit'); return true; }
        return command ? this.jump(0, 1, extend) : by(1, 0);
      case 'ArrowLeft': return command ? this.jump(-1, 0, extend) : by(0, -1);
      case 'ArrowRight': return command ? this.jump(1, 0, extend) : by(0, 1);
      case 'PageUp': this.go({ row: active.row - sheet.rowScroll.pageRows, column: active.column }, extend); return true;
      case 'PageDown': this.go({ row: active.row + sheet.rowScroll.pageRows, column: active.column }, extend); return true;
      case 'Home': this.go({ row: command ? 0 : active.row, column: 0 }, extend); return true;
      case 'End': this.go({ row: command ? sheet.nRows - 1 : active.row, column: sheet.columns.length - 1 }, extend); return true;
      case 'Tab': {
        if (this.leaving) { this.leaving = false; return false; }
        return this.tab(event.shiftKey ? -1 : 1);
      }
      case 'Escape': this.leaving = true; sheet.select(active); sheet.say(LEAVING); return true;
      case 'Enter':
        if (command) return this.openNamed();
        if (sheet.columns[active.column]?.origin !== 'entered' && !extend) sheet.askWorking();
        else this.step(extend ? 'up' : 'down');
        return true;
      case 'F2': sheet.startEdit('edit'); return true;
      case 'Delete': case 'Backspace': void clearRange(sheet); return true;
      case ' ': return this.space(event, command);
      default: return command ? this.commandKey(event) : this.typed(event);
    }
  }

  private upFromFirst(column: number): boolean {
    if (this.filters.shown) this.filters.focus(column);
    else this.sheet.select({ row: HEADER_ROW, column });
    return true;
  }

  private space(event: KeyboardEvent, command: boolean): boolean {
    const { sheet } = this;
    const { active, anchor } = sheet;
    // The cursor goes to the first column, which is always in sight.
    if (event.shiftKey) sheet.select({ ...active, column: 0 }, { ...anchor, column: sheet.columns.length - 1 });
    else if (command) sheet.select({ ...active, row: sheet.nRows - 1 }, { ...anchor, row: 0 });
    else if (sheet.columns[active.column]?.origin !== 'entered') sheet.askWorking();
    // A space begins a new text like any other key, and says nothing itself: blanks around a text do not count.
    else sheet.startEdit('type');
    return true;
  }

  private openNamed(): boolean {
    const { sheet } = this;
    const rowKey = sheet.cache.rowKey(sheet.active.row);
    const column = sheet.columns[sheet.active.column];
    if (rowKey !== null && column) sheet.emit('fp-open', { rowKey, column: column.key });
    return true;
  }

  private commandKey(event: KeyboardEvent): boolean {
    const { sheet } = this;
    switch (event.key.toLowerCase()) {
      case 'z': sheet.emit(event.shiftKey ? 'fp-redo' : 'fp-undo', null); return true;
      case 'y': sheet.emit('fp-redo', null); return true;
      case 'd': void fillFromTop(sheet); return true;
      // Without whole rows these are the browser's own keys for the size of the page.
      case '-': return this.wholeRows('off');
      case '+': case '=': return this.wholeRows('insert');
      case 'a':
        sheet.select({ row: Math.max(0, sheet.nRows - 1), column: sheet.columns.length - 1 }, { row: 0, column: 0 });
        return true;
      default: return false;
    }
  }

  private wholeRows(act: 'off' | 'insert'): boolean {
    const { sheet } = this;
    if (columnsIn(sheet.range) < sheet.columns.length || sheet.columns.length < 2) return false;
    sheet.emit('fp-rows', { act });
    return true;
  }

  /** The field takes the focus before the letter lands, so the letter itself arrives there untouched. */
  private typed(event: KeyboardEvent): boolean {
    if ([...event.key].length === 1) this.sheet.startEdit('type');
    return false;
  }

  private jump(columns: number, rows: number, extend: boolean): boolean {
    const { sheet } = this;
    const { active, source } = sheet;
    if (columns !== 0) {
      const filled = sheet.columns.map((_, index) => (sheet.cache.text(active.row, index) ?? '') !== '');
      this.go({ row: active.row, column: edgeAlong(filled, active.column, columns > 0 ? 1 : -1) }, extend);
      return true;
    }
    const column = sheet.columns[active.column];
    if (!source || !column) return true;
    const from = Math.min(active.row, sheet.nRows - 1);
    void source.edge(from, column.key, rows > 0 ? 1 : -1).then((row) => {
      if (sheet.active === active) this.go({ row, column: active.column }, extend);
    });
    return true;
  }

  private headerKey(event: KeyboardEvent): boolean {
    const { sheet } = this;
    const { column } = sheet.active;
    const to = (index: number): boolean => {
      const kept = Math.max(0, Math.min(index, sheet.columns.length - 1));
      sheet.select({ row: HEADER_ROW, column: kept });
      return true;
    };
    switch (event.key) {
      case 'ArrowLeft': case 'ArrowRight': {
        const step = event.key === 'ArrowRight' ? 1 : -1;
        if (event.shiftKey && (event.ctrlKey || event.metaKey)) return this.moveColumn(column, column + step);
        if (!event.shiftKey) return to(column + step);
        const width = (sheet.layout.widths[column] ?? 0) + step * WIDTH_STEP;
        this.header.widen(column, width);
        sheet.say(`${sheet.layout.widths[column] ?? 0} pixels wide.`);
        return true;
      }
      case 'ArrowDown':
        if (event.altKey) this.filters.openList(column);
        else if (this.filters.shown) this.filters.focus(column);
        else sheet.select({ row: 0, column });
        return true;
      case 'Home': return to(0);
      case 'End': return to(sheet.columns.length - 1);
      case 'Enter': this.header.sort(column, event.shiftKey); return true;
      case ' ': case 'ContextMenu': this.header.openMenu(column); return true;
      case 'F10':
        if (!event.shiftKey) return false;
        this.header.openMenu(column);
        return true;
      case 'Escape': sheet.select({ row: 0, column }); return true;
      case 'Tab': return false;
      default: return false;
    }
  }

  private moveColumn(from: number, to: number): boolean {
    const { sheet } = this;
    const column = sheet.columns[from];
    if (!sheet.canArrange || !column || to < 0 || to >= sheet.columns.length) return true;
    sheet.emit('fp-column', { act: 'move', column: column.key, to });
    return true;
  }
}
