// What enters: the payload's text. What leaves: the parts of it that the viewer reads.
// Always true: the shape is that of docs/results-file.md; what the engine needs it reads itself.
// Never: puts any text of it into the page as markup.

/** One cell: missing, a number, a text, or text that was not understood. */
export type Cell = null | number | string | { unreadable: string };

/** A column of the calves. */
export interface Column {
  key: string;
  label: string;
  unit: string;
  kind: string;
  origin: string;
  cells: Cell[];
  shown: string[] | null;
}

/** A group's line. */
export interface Group {
  name: string;
  n: number;
  rows: number[];
}

/** What was handed over. */
export interface HandedOver {
  title: string;
  everyCalf: boolean;
  nCalves: number;
  columns: Column[];
  groups: { groups: Group[] } | null;
}

/** Reads the payload. Throws if it is not JSON; the engine looks at the rest. */
export function readHandedOver(text: string): HandedOver {
  return JSON.parse(text) as HandedOver;
}

/** A cell as people read it. */
export function shownText(column: Column, row: number): string {
  const shown = column.shown?.[row];
  if (shown !== undefined) return shown;
  const cell = column.cells[row];
  if (cell === null || cell === undefined) return '';
  return typeof cell === 'object' ? cell.unreadable : String(cell);
}
