/**
 * What the sheet asks of its host, and what it tells it.
 *
 * Enters: a `GridSource`, the only door to the records.
 * Leaves: the events declared at the end of this file.
 * Always true: rows are named by a stable key in every edit and by position in the current view in every
 *   window; text is shown as text and never read as markup.
 * Never: the sheet holds no data of record, sorts nothing and filters nothing by itself.
 */

export type CellKind = 'text' | 'number' | 'date' | 'code';

export interface GridColumn {
  key: string;
  label: string;
  /** Unit as shown under the label, '' if none. */
  unit: string;
  kind: CellKind;
  /** Typed in by the person, her own formula, or worked out by the engine. */
  origin: 'entered' | 'own' | 'engine';
  /** One or two plain sentences: what the column is and, when computed, where to change it. */
  help: string;
  editable: boolean;
  /** A column of her own, which can be renamed and taken away. */
  own?: boolean;
  /** Offered while editing; other text may still be typed. */
  choices?: string[];
  /** Its cells name an animal or a place of another sheet, which can be opened. */
  namesAnother?: boolean;
  /** Draw a small bar about 100 beside the number. */
  bar?: boolean;
  /** A text of usual length, for columns that would be cut where they differ. */
  usual?: string;
  /** Width in px; without it a width is chosen by kind, label and usual text. */
  width?: number;
}

/** Row-major text and flags for rows [first, first+nRows) in the current view order. */
export interface GridWindow {
  first: number;
  nRows: number;
  rowKeys: Uint32Array;
  text: string[];
  flags: Uint8Array;
  /** For bar columns: value per cell (row-major like `text`) or NaN. */
  values?: Float64Array;
}

export const FLAG = { missing: 1, unreadable: 2, doubtful: 4, error: 8 } as const;

export interface GridSource {
  readonly nRows: number;
  readonly columns: readonly GridColumn[];
  readonly revision: number;
  /** `columns` may be empty: then only the row keys are wanted. */
  window(first: number, nRows: number, columns: readonly string[]): Promise<GridWindow>;
  /** Raw text for editing (not the rounded display). */
  raw(rowKey: number, column: string): Promise<string>;
  /** One sentence about a marked cell, '' if none. */
  remark(rowKey: number, column: string): Promise<string>;
  /** Distinct values for the by-value filter with counts. */
  values(column: string): Promise<{ text: string; n: number }[]>;
  /** Names to offer for a column that names something, as the text of the whole cell; `rowKey` is null for a row to come. */
  offers?(rowKey: number | null, column: string, typed: string): Promise<Offer[]>;
  /** Row position of the next edge of data above (-1) or below (1), for Ctrl+arrow. */
  edge(from: number, column: string, direction: 1 | -1): Promise<number>;
}

/** A text for a cell, with words that tell what it stands for. */
export interface Offer { text: string; words: string }

/** Inclusive corners, in view positions. */
export interface CellRange { firstRow: number; lastRow: number; firstColumn: number; lastColumn: number }

export interface CellEdit { rowKey: number; column: string; text: string }
export interface NewCell { column: string; text: string }

/**
 * A listener calls `respondWith` before it returns, with a promise that is kept when the change is safely
 * recorded and broken (an Error with a plain message) when it is refused. Until then the sheet shows the
 * new text as waiting; on refusal the old text returns and the message is announced.
 */
export interface Answerable { respondWith(answer: Promise<unknown>): void }

export type EditReason = 'type' | 'paste' | 'clear' | 'fill';
export interface EditDetail extends Answerable { cells: CellEdit[]; reason: EditReason }

/**
 * New rows at the end. `cells` are changes to rows that exist already and belong to the same act
 * (a paste that runs past the last row), so that host and undo can treat both as one.
 */
export interface AppendDetail extends Answerable { rows: NewCell[][]; cells: CellEdit[]; reason: EditReason }

/** `rowKey` is null on the empty row at the bottom and while the row is still loading. */
export interface SelectDetail { rowKey: number | null; row: number; column: string; range: CellRange }
export interface SortKey { column: string; descending: boolean }
export interface SortDetail { keys: SortKey[] }
export interface ColumnFilter { column: string; contains?: string; values?: string[] }
export interface FilterDetail { text: string; byColumn: ColumnFilter[] }
export interface WorkingDetail { rowKey: number; column: string }
/** What a cell names is to be opened, or, in another column, the row itself looked at. */
export interface OpenDetail { rowKey: number; column: string }
/**
 * What is asked of the columns. `to` is the place among the columns shown that a moved one goes to, or how many
 * leading columns are to stay in sight. The host arranges; the sheet shows what its source then says.
 */
export type ColumnAct = 'move' | 'hide' | 'freeze' | 'showHidden' | 'choose' | 'rename' | 'formula' | 'remove';
export interface ColumnDetail { act: ColumnAct; column: string; to: number }
/** A width is told when it is settled, not while it is being pulled. */
export interface WidthDetail { column: string; width: number }

/** What a key or a press asks for the rows of the selection; `menu` asks to be shown the choice. */
export interface RowsDetail { act: 'menu' | 'off' | 'insert' }
/** Whole rows, by position and by key. */
export interface RowsChosen { first: number; last: number; firstKey: number; lastKey: number }

export interface GridEvents {
  'fp-edit': CustomEvent<EditDetail>;
  'fp-append': CustomEvent<AppendDetail>;
  'fp-select': CustomEvent<SelectDetail>;
  'fp-sort': CustomEvent<SortDetail>;
  'fp-filter': CustomEvent<FilterDetail>;
  'fp-working': CustomEvent<WorkingDetail>;
  'fp-open': CustomEvent<OpenDetail>;
  'fp-width': CustomEvent<WidthDetail>;
  'fp-column': CustomEvent<ColumnDetail>;
  'fp-rows': CustomEvent<RowsDetail>;
  'fp-undo': CustomEvent<null>;
  'fp-redo': CustomEvent<null>;
}

declare global {
  interface HTMLElementEventMap extends GridEvents {}
}
