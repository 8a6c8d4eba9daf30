/**
 * The sheet's door to the book worker.
 *
 * Enters: a sheet of the book, its columns and its view. Leaves: what `<fp-grid>` asks for.
 * Always true: the rows are in the order of the last view that was set.
 * Never: keeps records; the grid's own cache forgets them when the revision changes.
 */
import type { Engine } from '../../engine/client.ts';
import type { ColumnInfo, ColumnFilter as FilterSpec, ViewSpec } from '../../engine/generated/core.js';
import type { CellKind, ColumnFilter, GridColumn, GridSource, GridWindow, Offer, SortKey } from '../../grid/contract.ts';

/** Names offered at once. */
const NAMES_OFFERED = 8;
/** Texts as long as they usually are, so that they are seen whole from the start. */
const USUAL: Record<string, string> = { eid: '000000000000000', breed: 'Angus x Hereford' };
const CELL_END = '\u001f';

export function gridColumn(info: ColumnInfo): GridColumn {
  return {
    key: info.key,
    // The unit stands in its own place, under the label or after it.
    label: info.label.endsWith(` (${info.unit})`) ? info.label.slice(0, -info.unit.length - 3) : info.label,
    unit: info.unit,
    kind: info.kind as CellKind,
    // For the sheet an own column that is typed into is like any other; one with a formula is not.
    origin: info.origin === 'calculated' ? 'own' : info.origin === 'own' ? 'entered' : info.origin as GridColumn['origin'],
    help: info.help,
    editable: info.editable,
    own: info.origin === 'own' || info.origin === 'calculated',
    namesAnother: info.namesAnother,
    bar: info.bar,
    ...(USUAL[info.key] === undefined ? {} : { usual: USUAL[info.key] }),
    ...(info.choices.length > 0 ? { choices: info.choices } : {}),
  };
}

export class SheetSource implements GridSource {
  nRows = 0;
  columns: readonly GridColumn[] = [];
  /** Grows with every change of the book or of the view. */
  revision = 0;

  constructor(private readonly engine: Engine, readonly sheet: string) {}

  /** Sorts and filters; the grid must be refreshed afterwards. */
  async setView(sort: readonly SortKey[], text: string, filters: readonly ColumnFilter[]): Promise<void> {
    const view: ViewSpec = {
      sheet: this.sheet,
      sort: sort.map(({ column, descending }) => ({ column, descending })),
      text,
      filters: filters.map(({ column, contains, values }): FilterSpec => ({ column, contains: contains ?? '', values })),
    };
    this.nRows = await this.engine.askLatest(`view ${this.sheet}`, 'setView', { view });
    this.revision += 1;
  }

  async window(first: number, nRows: number, columns: readonly string[]): Promise<GridWindow> {
    const { rowKeys, text, flags, values } = await this.engine.ask('window', { sheet: this.sheet, first, nRows, columns: [...columns] });
    const cells = columns.length === 0 || rowKeys.length === 0 ? [] : text.split(CELL_END);
    return { first, nRows: rowKeys.length, rowKeys, text: cells, flags, values };
  }
  raw(rowKey: number, column: string): Promise<string> {
    return this.engine.ask('raw', { sheet: this.sheet, rowKey, column });
  }
  remark(rowKey: number, column: string): Promise<string> {
    return this.engine.ask('remark', { sheet: this.sheet, rowKey, column });
  }
  values(column: string): Promise<{ text: string; n: number }[]> {
    return this.engine.ask('values', { sheet: this.sheet, column });
  }
  offers(rowKey: number | null, column: string, typed: string): Promise<Offer[]> {
    return this.engine.ask('namesLike', { sheet: this.sheet, rowKey, column, typed, most: NAMES_OFFERED });
  }
  edge(from: number, column: string, direction: 1 | -1): Promise<number> {
    return this.engine.ask('edge', { sheet: this.sheet, from, column, direction });
  }
}
