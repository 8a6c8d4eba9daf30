/**
 * What the parts of the sheet may ask of the whole.
 *
 * Enters and leaves: nothing by itself; this is the seam between `element.ts` and its parts.
 * Always true: parts know each other only through this interface.
 * Never: holds code that runs.
 */
import type { BlockCache } from './cache.js';
import type { Changes } from './changes.js';
import type { ColumnLayout } from './columns.js';
import type { CellRange, GridColumn, GridEvents, GridSource, SortKey } from './contract.js';
import type { RowScroll } from './scroll.js';
import type { Cell } from './selection.js';

export interface Sheet {
  /** Prefix for element ids, unique in the page. */
  readonly uid: string;
  readonly source: GridSource | null;
  readonly columns: readonly GridColumn[];
  readonly layout: ColumnLayout;
  readonly rowScroll: RowScroll;
  readonly cache: BlockCache;
  readonly changes: Changes;
  /** Scrolls, holds the focus and carries role=grid. */
  readonly scroller: HTMLElement;
  /** Holds the scroller and what floats over it. */
  readonly shell: HTMLElement;
  /** Rows of records, without the empty row at the bottom. */
  readonly nRows: number;
  /** With the empty row, where rows may be added. */
  readonly totalRows: number;
  readonly canAppend: boolean;
  /** The host moves, hides and freezes columns. */
  readonly canArrange: boolean;
  /** Columns that were hidden. */
  readonly nHidden: number;
  readonly active: Cell;
  readonly anchor: Cell;
  readonly range: CellRange;
  /** Rows a fill would cover while the handle is being pulled. */
  fillPreview: CellRange | null;
  sortKeys: SortKey[];
  /** Rows above the data: the header, and the filter row when shown. */
  readonly headRows: number;
  select(active: Cell, anchor?: Cell): void;
  /** Asks for a redraw before the next frame. */
  draw(): void;
  /** Takes in changes of the source since the last look. */
  refresh(): void;
  /** To screen readers only. */
  say(message: string): void;
  /** To everyone: a note by the active cell, and to screen readers. */
  hint(message: string): void;
  emit<K extends keyof GridEvents>(type: K, detail: GridEvents[K]['detail']): void;
  focusSheet(): void;
  /** Cell under a point of the window; null above or beside the rows. */
  cellAt(clientX: number, clientY: number): Cell | null;
  /** Box of a cell relative to the shell. */
  boxOf(cell: Cell): { left: number; top: number; width: number; height: number };
  scrollSideways(left: number): void;
  startEdit(how: 'type' | 'edit'): void;
  askWorking(): void;
}
