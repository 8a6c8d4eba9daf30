/**
 * A column head carried to another place.
 *
 * Enters: pointer events on the heads. Leaves: `fp-column` with the place the column goes to, or a menu.
 * Always true: a press that does not move is still a click that sorts; a finger that pans moves nothing, and one
 *   that rests first opens the menu, or carries the head once it moves; every move has a key and a menu item.
 * Never: moves a column by itself; the host does, and the sheet shows what its source then says.
 */
import type { Sheet } from './sheet.js';

const STILL_PX = 8;
const LONG_PRESS_MS = 450;
/** Pixels per frame, at most, while a head is held beyond an edge. */
const FASTEST_PULL_PX = 16;
const EDGE_PX = 36;

interface Held { index: number; x: number; y: number; touch: boolean; lifted: boolean; carried: boolean; gap: number; pointer: number; timer: number; frame: number }

export class HeadDrag {
  private held: Held | null = null;
  private readonly mark = document.createElement('div');
  /** The click that a browser sends after a carry or a long press is none. */
  private swallow = false;

  constructor(private readonly sheet: Sheet, private readonly heads: HTMLElement, private readonly openMenu: (index: number) => void) {
    this.mark.className = 'fpg-drop';
    this.mark.hidden = true;
    heads.addEventListener('pointerdown', (event) => this.down(event));
    heads.addEventListener('pointermove', (event) => this.move(event));
    heads.addEventListener('pointerup', () => this.up());
    heads.addEventListener('pointercancel', () => this.stop());
    heads.addEventListener('click', (event) => {
      if (!this.swallow) return;
      this.swallow = false;
      event.preventDefault();
      event.stopPropagation();
    }, { capture: true });
    heads.addEventListener('contextmenu', (event) => {
      event.preventDefault();
      const index = this.indexOf(event.target);
      if (this.held === null && index >= 0) this.openMenu(index);
    });
    // Once a head is lifted the finger carries it and no longer pans; only a listener that waits may say so.
    heads.addEventListener('touchmove', (event) => { if (this.held?.lifted) event.preventDefault(); }, { passive: false });
  }

  private indexOf(target: EventTarget | null): number {
    const head = target instanceof Element ? target.closest('.fpg-head') : null;
    return head ? Number(head.getAttribute('aria-colindex')) - 1 : -1;
  }

  private down(event: PointerEvent): void {
    this.swallow = false;
    if (event.button !== 0 || !event.isPrimary || !(event.target instanceof Element) || event.target.closest('.fpg-sort') === null) return;
    const index = this.indexOf(event.target);
    const touch = event.pointerType === 'touch';
    const timer = touch ? window.setTimeout(() => this.lift(), LONG_PRESS_MS) : 0;
    this.held = { index, x: event.clientX, y: event.clientY, touch, lifted: false, carried: false, gap: -1, pointer: event.pointerId, timer, frame: 0 };
  }

  private lift(): void {
    if (!this.held) return;
    this.held.lifted = true;
    this.heads.children[this.held.index]?.classList.add('fpg-lifted');
  }

  private move(event: PointerEvent): void {
    const { held, sheet } = this;
    if (!held || event.pointerId !== held.pointer) return;
    const far = Math.hypot(event.clientX - held.x, event.clientY - held.y) > STILL_PX;
    if (!held.carried) {
      if (!far) return;
      if (held.touch && !held.lifted) { this.stop(); return; }
      if (!sheet.canArrange) { this.stop(); return; }
      this.lift();
      held.carried = true;
      this.heads.setPointerCapture(held.pointer);
      sheet.shell.append(this.mark);
    }
    held.x = event.clientX;
    held.y = event.clientY;
    this.follow();
    if (!held.frame) held.frame = window.requestAnimationFrame(() => this.pull());
  }

  /** Shows the gap that the head would go into. */
  private follow(): void {
    const { held, sheet } = this;
    if (!held) return;
    const { layout, scroller } = sheet;
    const x = held.x - scroller.getBoundingClientRect().left;
    held.gap = layout.gapAt(Math.max(0, Math.min(x, scroller.clientWidth - 1)), scroller.scrollLeft);
    // The gap behind the columns that stay in sight is the one before the first that passes by.
    const scrolled = held.gap < layout.pinned || (held.gap === layout.pinned && x <= layout.pinnedWidth) ? 0 : scroller.scrollLeft;
    this.mark.hidden = false;
    this.mark.style.transform = `translateX(${Math.round(layout.left(held.gap) - scrolled)}px)`;
  }

  /** Keeps scrolling while the head is held near an edge. */
  private pull(): void {
    const { held, sheet } = this;
    if (!held?.carried) return;
    held.frame = 0;
    const box = sheet.scroller.getBoundingClientRect();
    const left = box.left + sheet.layout.pinnedWidth + EDGE_PX - held.x;
    const right = held.x - (box.left + sheet.scroller.clientWidth - EDGE_PX);
    const beyond = right > 0 ? right : left > 0 && held.x > box.left + sheet.layout.pinnedWidth ? -left : 0;
    if (beyond === 0) return;
    sheet.scrollSideways(sheet.scroller.scrollLeft + Math.sign(beyond) * Math.min(FASTEST_PULL_PX, Math.ceil(Math.abs(beyond) / 2)));
    this.follow();
    held.frame = window.requestAnimationFrame(() => this.pull());
  }

  private up(): void {
    const { held, sheet } = this;
    this.stop();
    if (!held) return;
    if (held.carried) {
      this.swallow = true;
      const to = held.gap > held.index ? held.gap - 1 : held.gap;
      const column = sheet.columns[held.index];
      if (column && held.gap >= 0 && to !== held.index) sheet.emit('fp-column', { act: 'move', column: column.key, to });
      sheet.focusSheet();
    } else if (held.lifted) {
      this.swallow = true;
      this.openMenu(held.index);
    }
  }

  private stop(): void {
    const { held } = this;
    if (!held) return;
    window.clearTimeout(held.timer);
    window.cancelAnimationFrame(held.frame);
    this.heads.children[held.index]?.classList.remove('fpg-lifted');
    this.mark.hidden = true;
    this.mark.remove();
    this.held = null;
  }
}
