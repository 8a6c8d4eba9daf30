/**
 * Where the sheet stands, by row, however many rows there are.
 *
 * Enters: row count, row height, view height, and the browser's scroll offset.
 * Leaves: the offset in true pixels of all rows (`top`), and the browser offset that stands for it.
 * Always true: the spacer stays within what browsers can lay out; both ends are reached exactly; a scroll
 *   step smaller than the view moves that many true pixels, mapped or not.
 * Never: touches the page.
 */

/** Browsers cap element heights near 16.7 M px; stay below with room for the header. */
export const SPACER_MAX_PX = 15_000_000;

const clamp = (value: number, low: number, high: number): number => Math.min(Math.max(value, low), high);

export class RowScroll {
  nRows = 0;
  rowHeight = 1;
  viewHeight = 0;
  /** First visible pixel, counted over all rows at their true height. */
  top = 0;
  /** The browser offset last seen or set. */
  native = 0;

  get contentHeight(): number { return this.nRows * this.rowHeight; }
  get maxTop(): number { return Math.max(0, this.contentHeight - this.viewHeight); }
  /** Height to give the spacer for the rows (the header comes on top of it). */
  get spacerHeight(): number { return Math.min(this.contentHeight, SPACER_MAX_PX - 1000); }
  get maxNative(): number { return Math.max(0, this.spacerHeight - this.viewHeight); }
  get mapped(): boolean { return this.contentHeight > this.spacerHeight; }

  /** New sizes; keeps the first visible row in place as far as the new sizes allow. */
  resize(nRows: number, rowHeight: number, viewHeight: number): void {
    const row = this.top / this.rowHeight;
    this.nRows = nRows;
    this.rowHeight = rowHeight;
    this.viewHeight = viewHeight;
    this.setTop(row * rowHeight);
  }

  setTop(top: number): void {
    this.top = clamp(top, 0, this.maxTop);
    this.native = this.nativeOf(this.top);
  }

  nativeOf(top: number): number {
    return this.mapped ? (top / this.maxTop) * this.maxNative : top;
  }

  /**
   * The browser scrolled. A step smaller than the view is a wheel, a finger or a key and moves true pixels;
   * a larger one is the thumb, which on a mapped sheet always jumps by more than a view, and moves in proportion.
   */
  scrolled(native: number): void {
    const step = native - this.native;
    this.native = native;
    if (!this.mapped) this.top = clamp(native, 0, this.maxTop);
    else if (native <= 0) this.top = 0;
    else if (native >= this.maxNative - 1) this.top = this.maxTop;
    else if (Math.abs(step) < this.viewHeight) this.top = clamp(this.top + step, 0, this.maxTop);
    else this.top = (native / this.maxNative) * this.maxTop;
  }

  /** Moves as little as needed to show the whole row; says whether it moved. */
  reveal(row: number): boolean {
    const before = this.top;
    const start = row * this.rowHeight;
    if (start < this.top) this.setTop(start);
    else if (start + this.rowHeight > this.top + this.viewHeight) this.setTop(start + this.rowHeight - this.viewHeight);
    return this.top !== before;
  }

  get firstRow(): number { return Math.floor(this.top / this.rowHeight); }
  /** One past the last row that shows at least in part. */
  get endRow(): number { return Math.min(this.nRows, Math.ceil((this.top + this.viewHeight) / this.rowHeight)); }
  /** Whole rows in a page step. */
  get pageRows(): number { return Math.max(1, Math.floor(this.viewHeight / this.rowHeight) - 1); }

  rowAt(yInView: number): number {
    return clamp(Math.floor((this.top + yInView) / this.rowHeight), 0, Math.max(0, this.nRows - 1));
  }
}
