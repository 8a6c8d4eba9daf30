/**
 * Column widths and places.
 *
 * Enters: columns, the person's own widths, a way to measure text. Leaves: widths, offsets, hit tests, in px.
 * Always true: every width lies between the least and the greatest; offsets add up to the total.
 * Never: reads cell text; a width never changes because rows scrolled by.
 */
import type { CellKind, GridColumn } from './contract.js';

export const LEAST_WIDTH = 56;
export const GREATEST_WIDTH = 640;
const ROOM_BY_KIND: Record<CellKind, number> = { text: 148, number: 84, date: 116, code: 108 };
/** Padding, origin mark, sort mark and resize edge beside a label. */
const ROOM_BESIDE_LABEL = 50;
/** Padding, menu mark and origin mark beside a unit, which is written smaller than a label. */
const ROOM_BESIDE_UNIT = 70;
const UNIT_SHARE = 0.8;
/** Padding beside a cell's text. */
const ROOM_BESIDE_TEXT = 28;
/** Padding of a cell, both sides. */
const LEAST_BESIDE_NUMBER = 20;
const ROOM_FOR_BAR = 56;
const GREATEST_CHOSEN = 260;
/** Columns that stay in sight may take this share of the view: the others need room to pass by. */
const PINNED_SHARE = 0.6;

export type Measure = (text: string) => number;

export class ColumnLayout {
  columns: readonly GridColumn[] = [];
  widths: number[] = [];
  /** offsets[i] is the left edge of column i; the last entry is the total width. */
  offsets: number[] = [0];
  /** Leading columns that are to stay in sight. */
  frozen = 1;
  /** Leading columns that do: as many as have room. */
  pinned = 1;
  /** The host keeps the widths, so that one it does not name is chosen by kind and label. */
  hosted = false;
  private readonly chosen = new Map<string, number>();

  constructor(private readonly measure: Measure) {}

  set(columns: readonly GridColumn[]): void {
    this.columns = columns;
    this.widths = columns.map((column) => column.width ?? (this.hosted ? undefined : this.chosen.get(column.key)) ?? this.fitting(column));
    this.place();
  }

  /** Chooses how many columns stay in sight in a view this wide; says whether that differs. */
  pin(viewWidth: number): boolean {
    const before = this.pinned;
    let pinned = 1;
    while (pinned < this.frozen && pinned < this.widths.length && this.left(pinned + 1) <= viewWidth * PINNED_SHARE) pinned += 1;
    this.pinned = pinned;
    return pinned !== before;
  }

  /** Whether all of a number has room in its cell: a number that is cut off reads as another one. */
  hasRoom(index: number, text: string): boolean {
    this.digit ||= this.measure('0');
    const bar = this.columns[index]?.bar ? ROOM_FOR_BAR : 0;
    return text.length * this.digit + LEAST_BESIDE_NUMBER + bar <= (this.widths[index] ?? 0);
  }
  private digit = 0;

  fitting(column: GridColumn): number {
    const room = ROOM_BY_KIND[column.kind] + (column.bar ? ROOM_FOR_BAR : 0);
    const label = this.labelWidth(column.label) + ROOM_BESIDE_LABEL;
    const under = column.unit === '' ? 0 : this.measure(column.unit) * UNIT_SHARE + ROOM_BESIDE_UNIT;
    const usual = column.usual === undefined ? 0 : this.measure(column.usual) + ROOM_BESIDE_TEXT;
    return Math.min(GREATEST_CHOSEN, Math.max(room, Math.ceil(Math.max(label, under, usual) / 4) * 4));
  }

  /** Heads have two lines: the narrowest width at which the words break into them. */
  private labelWidth(label: string): number {
    const words = label.split(' ');
    let least = this.measure(label);
    for (let cut = 1; cut < words.length; cut += 1) {
      const lines = Math.max(this.measure(words.slice(0, cut).join(' ')), this.measure(words.slice(cut).join(' ')));
      least = Math.min(least, lines);
    }
    return least;
  }

  resize(index: number, width: number): number {
    const column = this.columns[index];
    if (!column) return 0;
    const kept = Math.round(Math.min(GREATEST_WIDTH, Math.max(LEAST_WIDTH, width)));
    this.widths[index] = kept;
    this.chosen.set(column.key, kept);
    this.place();
    return kept;
  }

  get total(): number { return this.offsets[this.offsets.length - 1] ?? 0; }
  get pinnedWidth(): number { return this.offsets[Math.min(this.pinned, this.widths.length)] ?? 0; }
  left(index: number): number { return this.offsets[index] ?? 0; }

  /** The column under a point `x` px right of the view's left edge. */
  at(x: number, scrollLeft: number): number {
    const pinned = x < this.pinnedWidth;
    const target = pinned ? x : x + scrollLeft;
    for (let index = pinned ? 0 : this.pinned; index < this.widths.length; index += 1) {
      if (target < (this.offsets[index + 1] ?? Infinity)) return index;
    }
    return Math.max(0, this.widths.length - 1);
  }

  /** First and one-past-last unpinned column that shows. */
  visible(scrollLeft: number, viewWidth: number): [number, number] {
    const from = scrollLeft + this.pinnedWidth;
    const to = scrollLeft + viewWidth;
    let first = this.pinned;
    while (first < this.widths.length && (this.offsets[first + 1] ?? Infinity) <= from) first += 1;
    let end = first;
    while (end < this.widths.length && this.left(end) < to) end += 1;
    return [first, end];
  }

  /** The scroll offset that shows the whole column, moving as little as needed. */
  reveal(index: number, scrollLeft: number, viewWidth: number): number {
    if (index < this.pinned) return scrollLeft;
    const start = this.left(index) - this.pinnedWidth;
    const least = this.left(index) + (this.widths[index] ?? 0) - viewWidth;
    if (start < scrollLeft) return start;
    return least > scrollLeft ? Math.min(least, start) : scrollLeft;
  }

  /** The gap before, between or behind columns that is nearest to a point `x` px right of the view's left edge. */
  gapAt(x: number, scrollLeft: number): number {
    const index = this.at(x, scrollLeft);
    const inside = (index < this.pinned ? x : x + scrollLeft) - this.left(index);
    return inside > (this.widths[index] ?? 0) / 2 ? index + 1 : index;
  }

  private place(): void {
    let x = 0;
    this.offsets = [0];
    for (const width of this.widths) { x += width; this.offsets.push(x); }
  }
}

/** Marks a head, or a field under it, as one that stays in sight. */
export function pinAt(element: HTMLElement, index: number, layout: ColumnLayout): void {
  const stays = index < layout.pinned;
  element.classList.toggle('fpg-pin', stays);
  element.classList.toggle('fpg-pin-last', index === layout.pinned - 1);
  element.style.left = stays ? `var(--fpg-l${index})` : '';
}
