/**
 * Mouse, pen and finger on the rows.
 *
 * Enters: pointer events on the rows. Leaves: selections, edits, fills.
 * Always true: a finger that pans never selects; a long press extends; a double tap edits.
 * Never: stops the browser's own panning and pinching.
 */
import { fillDown } from './block.js';
import { cellsIn, contains, fillTarget, type Cell } from './selection.js';
import type { Sheet } from './sheet.js';
import type { TouchMenu } from './touch-menu.js';

const LONG_PRESS_MS = 500;
const DOUBLE_TAP_MS = 350;
const STILL_PX = 10;
/** Rows per frame, at most, while a drag is held beyond the edge. */
const FASTEST_PULL = 40;

const sameCell = (a: Cell, b: Cell): boolean => a.row === b.row && a.column === b.column;

export class Pointer {
  private lastTap: { at: number; cell: Cell } | null = null;
  private touch: { x: number; y: number; cell: Cell; timer: number; long: boolean } | null = null;
  private drag: { kind: 'select' | 'fill'; x: number; y: number; frame: number } | null = null;

  /** The pointer went down on the cell that was active already. */
  private again = false;

  constructor(private readonly sheet: Sheet, private readonly body: HTMLElement, private readonly touchMenu: TouchMenu) {
    body.addEventListener('pointerdown', (event) => this.down(event));
    body.addEventListener('pointermove', (event) => this.move(event));
    body.addEventListener('pointerup', (event) => this.up(event));
    body.addEventListener('pointercancel', () => this.stop());
    body.addEventListener('dblclick', (event) => {
      const cell = sheet.cellAt(event.clientX, event.clientY);
      if (cell && !this.lastTap) this.enter(cell);
    });
    body.addEventListener('contextmenu', (event) => {
      event.preventDefault();
      if (!this.touch) this.menu(event);
    });
  }

  private down(event: PointerEvent): void {
    const { sheet } = this;
    if (event.button !== 0 || !event.isPrimary) return;
    const cell = sheet.cellAt(event.clientX, event.clientY);
    if (!cell) return;
    this.again = sameCell(cell, sheet.active);
    if (!this.touchMenu.isOpen || event.pointerType !== 'touch') this.touchMenu.close();
    const onHandle = event.target instanceof Element && event.target.classList.contains('fpg-fill');
    if (onHandle) {
      event.preventDefault();
      this.begin('fill', event);
    } else if (event.pointerType === 'touch') {
      const timer = window.setTimeout(() => {
        if (!this.touch) return;
        this.touch.long = true;
        sheet.select(cell, sheet.anchor);
        sheet.focusSheet();
        this.touchMenu.open();
      }, LONG_PRESS_MS);
      this.touch = { x: event.clientX, y: event.clientY, cell, timer, long: false };
    } else {
      event.preventDefault();
      this.lastTap = null;
      sheet.focusSheet();
      if (event.shiftKey) sheet.select(cell, sheet.anchor);
      else sheet.select(cell);
      this.begin('select', event);
    }
  }

  /** The second button asks for the acts on rows: on the selection, or on the row under it. */
  private menu(event: MouseEvent): void {
    const { sheet } = this;
    const cell = sheet.cellAt(event.clientX, event.clientY);
    if (!cell) return;
    if (!contains(sheet.range, cell.row, cell.column)) sheet.select(cell);
    sheet.focusSheet();
    sheet.emit('fp-rows', { act: 'menu' });
  }

  private begin(kind: 'select' | 'fill', event: PointerEvent): void {
    this.drag = { kind, x: event.clientX, y: event.clientY, frame: 0 };
    this.body.setPointerCapture(event.pointerId);
  }

  private move(event: PointerEvent): void {
    if (this.touch && Math.hypot(event.clientX - this.touch.x, event.clientY - this.touch.y) > STILL_PX) this.stop();
    if (!this.drag) return;
    this.drag.x = event.clientX;
    this.drag.y = event.clientY;
    this.follow();
    if (!this.drag.frame) this.drag.frame = window.requestAnimationFrame(() => this.pull());
  }

  /** The cell nearest to the pointer becomes the moving corner. */
  private follow(): void {
    const { sheet, drag } = this;
    if (!drag) return;
    const box = this.body.getBoundingClientRect();
    const view = sheet.scroller.getBoundingClientRect();
    const x = Math.max(view.left + 1, Math.min(drag.x, view.left + sheet.scroller.clientWidth - 1));
    const y = Math.max(box.top + 1, Math.min(drag.y, box.bottom - 1));
    const cell = sheet.cellAt(x, y);
    if (!cell) return;
    if (drag.kind === 'fill') {
      sheet.fillPreview = fillTarget(sheet.range, Math.min(cell.row, sheet.nRows - 1));
      sheet.draw();
    } else if (cell.row !== sheet.active.row || cell.column !== sheet.active.column) sheet.select(cell, sheet.anchor);
  }

  /** Keeps scrolling while the pointer is held beyond an edge. */
  private pull(): void {
    const { sheet, drag } = this;
    if (!drag) return;
    drag.frame = 0;
    const box = this.body.getBoundingClientRect();
    const beyond = drag.y < box.top ? drag.y - box.top : drag.y > box.bottom ? drag.y - box.bottom : 0;
    if (beyond === 0) return;
    const rows = Math.sign(beyond) * Math.min(FASTEST_PULL, Math.ceil(Math.abs(beyond) / 24));
    sheet.scroller.scrollTop += Math.sign(rows) * Math.min(Math.abs(rows) * sheet.rowScroll.rowHeight, sheet.rowScroll.viewHeight - 1);
    this.follow();
    drag.frame = window.requestAnimationFrame(() => this.pull());
  }

  private up(event: PointerEvent): void {
    const { sheet, drag, touch } = this;
    if (drag?.kind === 'fill' && sheet.fillPreview) {
      const from = sheet.range;
      const target = sheet.fillPreview;
      void fillDown(sheet, from, target).then((taken) => {
        if (taken) sheet.select({ row: from.firstRow, column: from.firstColumn }, { row: target.lastRow, column: target.lastColumn });
      });
    }
    if (touch && !touch.long) this.tap(touch.cell, event.timeStamp);
    else if (drag?.kind === 'select' && this.again && this.offersWords && cellsIn(sheet.range) === 1) sheet.startEdit('edit');
    this.stop();
  }

  private tap(cell: Cell, at: number): void {
    const { sheet, lastTap } = this;
    const again = lastTap && at - lastTap.at < DOUBLE_TAP_MS && sameCell(lastTap.cell, cell);
    this.touchMenu.close();
    sheet.focusSheet();
    sheet.select(cell);
    this.lastTap = { at: again ? -Infinity : at, cell };
    if (again || (this.again && this.offersWords)) this.enter(cell);
  }

  /** A second press on a cell of a coded column opens its list. */
  private get offersWords(): boolean {
    const { sheet } = this;
    return (sheet.columns[sheet.active.column]?.choices?.length ?? 0) > 0;
  }

  private enter(cell: Cell): void {
    const { sheet } = this;
    if (sheet.columns[cell.column]?.origin !== 'entered') sheet.askWorking();
    else sheet.startEdit('edit');
  }

  private stop(): void {
    if (this.touch) window.clearTimeout(this.touch.timer);
    if (this.drag) window.cancelAnimationFrame(this.drag.frame);
    this.touch = null;
    this.drag = null;
    if (this.sheet.fillPreview) { this.sheet.fillPreview = null; this.sheet.draw(); }
  }
}
