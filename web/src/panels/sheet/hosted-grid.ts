/**
 * A grid at work: the events of `<fp-grid>` become requests, and changes of the book become fresh rows.
 *
 * Enters: a sheet, the columns to show. Leaves: edits, sorts, filters, the working.
 * Always true: an edit is answered when it is safe; the order stays as it was sorted until it is sorted again.
 * Never: changes a row by itself.
 */
import '../../grid/element.ts';
import '../../grid/entry-line.ts';
import { html, type TemplateResult } from 'lit';
import type { ColumnInfo } from '../../engine/generated/core.js';
import type { CellText } from '../../engine/generated/core.js';
import type { AppendDetail, ColumnFilter, EditDetail, SelectDetail, SortKey } from '../../grid/contract.ts';
import type { FpGrid } from '../../grid/element.ts';
import { remember, remembered } from '../app.ts';
import { View } from '../view.ts';
import { OnPaper } from './on-paper.ts';
import { gridColumn, SheetSource } from './source.ts';
import './status-line.ts';
import type { StatusLine } from './status-line.ts';

export class HostedGrid extends View {
  static override properties = { sheet: {}, choose: { attribute: false }, appendable: { type: Boolean }, label: {}, filters: { type: Boolean }, compact: { type: Boolean }, sortFirst: { attribute: false } };
  sheet = 'calves';
  label = 'Calves';
  appendable = false;
  filters = false;
  compact = false;
  /** Order on first sight. */
  sortFirst: SortKey[] = [];
  /** Which columns, in which order. */
  choose: (columns: readonly ColumnInfo[]) => readonly ColumnInfo[] = (columns) => columns;

  private source: SheetSource | undefined;
  private sort: SortKey[] = [];
  private text = '';
  private byColumn: ColumnFilter[] = [];
  private shownFor = '';
  private chosenFor: unknown;
  private rowsSeen = -1;
  private goneTo = '';
  /** The grid can be seen, and can take the keyboard. */
  private ready: Promise<void> = Promise.resolve();
  private readonly paper = new OnPaper(this);

  override connectedCallback(): void {
    super.connectedCallback();
    addEventListener('beforeprint', this.paper.before);
    addEventListener('afterprint', this.paper.after);
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback();
    removeEventListener('beforeprint', this.paper.before);
    removeEventListener('afterprint', this.paper.after);
  }

  get grid(): FpGrid | null {
    return this.querySelector('fp-grid');
  }
  get nShown(): number {
    return this.source?.nRows ?? 0;
  }

  protected override render(): TemplateResult {
    return html`<fp-entry-line for="grid"></fp-entry-line>
      <fp-grid id="grid" label=${this.label} density=${this.compact ? 'compact' : 'comfortable'} ?filters=${this.filters} ?appendable=${this.appendable && !this.app.readOnly}
        @fp-edit=${this.edited} @fp-append=${this.appended} @fp-sort=${this.sorted} @fp-filter=${this.filtered} @fp-select=${this.selected}
        @fp-working=${this.asked} @fp-undo=${() => this.app.undo()} @fp-redo=${() => this.app.redo()} @fp-width=${this.widened}></fp-grid>
      <fp-status-line></fp-status-line>`;
  }

  protected override updated(): void {
    void this.follow().catch((cause) => this.app.trouble(cause));
  }

  /** Brings the rows in line with the book. */
  private async follow(): Promise<void> {
    const { app, sheet } = this;
    const { state, book } = app;
    if (state === undefined || book === undefined) return;
    const stamp = `${app.standing} ${sheet} ${state.revision}`;
    const fresh = this.source === undefined || this.source.sheet !== sheet || !this.shownFor.startsWith(`${app.standing} ${sheet} `);
    if (stamp !== this.shownFor || this.choose !== this.chosenFor || fresh) {
      this.shownFor = stamp;
      this.chosenFor = this.choose;
      const infos = await app.columns(sheet);
      if (this.shownFor !== stamp) return;
      const columns = this.choose(infos).map(gridColumn).map((column) => ({ ...column, ...this.keptWidth(column.key) }));
      const rows = state.sheets.find((one) => one.key === sheet)?.nRows ?? 0;
      if (fresh) {
        this.source = new SheetSource(app.engine, sheet);
        this.sort = [...this.sortFirst];
        this.text = '';
        this.byColumn = [];
      }
      const source = this.source;
      if (source === undefined) return;
      // Typing keeps the order as it stands; rows that came or went need a new one.
      if (fresh || rows !== this.rowsSeen) await source.setView(this.sort, this.text, this.byColumn);
      this.rowsSeen = rows;
      source.columns = columns;
      source.revision += 1;
      const { grid } = this;
      if (grid === null) return;
      if (fresh) {
        grid.source = source;
        grid.sortKeys = this.sort;
        // Heads and rows come in one frame each; shown together, nothing moves.
        this.ready = new Promise((done) => {
          requestAnimationFrame(() => requestAnimationFrame(() => {
            grid.toggleAttribute('data-ready', true);
            done();
          }));
        });
      } else {
        grid.refresh();
      }
      this.shown(source);
    }
    await this.goToLinked();
  }

  private shown(source: SheetSource): void {
    this.dispatchEvent(new Event('shown'));
    void this.paper.follow(source).catch(() => undefined);
  }

  /** A link to a cell: `#calves/17/wean_weight`. */
  private async goToLinked(): Promise<void> {
    const { route } = this.app;
    const link = `${location.hash} ${this.sheet}`;
    if (route.rowKey === null || link === this.goneTo) return;
    this.goneTo = link;
    await this.ready;
    let row = await this.app.engine.ask('position', { sheet: this.sheet, rowKey: route.rowKey });
    if (row < 0 && this.source !== undefined) {
      this.grid?.clearFilters();
      this.text = '';
      this.byColumn = [];
      await this.source.setView(this.sort, '', []);
      this.grid?.refresh();
      row = await this.app.engine.ask('position', { sheet: this.sheet, rowKey: route.rowKey });
      this.app.tell('The filter was cleared to show this row.');
    }
    if (row >= 0) {
      this.grid?.goTo(row, route.column);
      this.grid?.querySelector<HTMLElement>('.fpg-scroller')?.focus({ preventScroll: true });
    }
  }

  private readonly edited = (event: CustomEvent<EditDetail>): void => {
    const { cells, respondWith } = event.detail;
    const change = { do: 'setCells' as const, sheet: this.sheet, cells: cells.map(({ rowKey, column, text }) => ({ rowKey, column, text })) };
    respondWith(this.app.change(change));
  };

  private readonly appended = (event: CustomEvent<AppendDetail>): void => {
    const { rows, cells, respondWith } = event.detail;
    const texts: CellText[] = rows.flatMap((row, index) => row.map(({ column, text }) => ({ rowKey: index, column, text })));
    const existing = cells.map(({ rowKey, column, text }) => ({ rowKey, column, text }));
    respondWith(this.app.change({ do: 'addRows', sheet: this.sheet, nRows: rows.length, cells: texts, existing }));
  };

  private readonly sorted = (event: CustomEvent<{ keys: SortKey[] }>): void => {
    this.sort = event.detail.keys;
    void this.reorder();
  };

  private readonly filtered = (event: CustomEvent<{ text: string; byColumn: ColumnFilter[] }>): void => {
    this.text = event.detail.text;
    this.byColumn = event.detail.byColumn;
    void this.reorder();
  };

  private async reorder(): Promise<void> {
    const { source } = this;
    if (source === undefined) return;
    try {
      await source.setView(this.sort, this.text, this.byColumn);
      this.app.filtered = this.sheet === 'calves' && (this.text !== '' || this.byColumn.length > 0);
      this.grid?.refresh();
      this.shown(source);
    } catch (cause) {
      this.app.trouble(cause);
    }
  }

  private readonly selected = (event: CustomEvent<SelectDetail>): void => {
    const { rowKey, column, range } = event.detail;
    const columns = this.source?.columns.slice(range.firstColumn, range.lastColumn + 1).map((one) => one.key) ?? [];
    this.querySelector<StatusLine>('fp-status-line')?.show(this.sheet, range, columns);
    const moved = this.sheet === 'calves' && rowKey !== this.app.selected;
    if (moved) this.app.selected = rowKey;
    // An open drawer follows the cursor over computed cells.
    const working = rowKey === null || this.app.working === null ? null : this.workingOf(rowKey, column);
    if (working !== null) this.app.working = working;
    else if (!moved) return;
    this.app.notify();
  };

  /** What to ask for to see how a cell was made; null where it was typed in. */
  private workingOf(rowKey: number, column: string): typeof this.app.working {
    const origin = this.source?.columns.find((one) => one.key === column)?.origin;
    if (origin === 'own') return { rowKey, column, formulaIn: this.sheet };
    return origin === 'engine' && this.sheet === 'calves' ? { rowKey, column } : null;
  }

  private readonly asked = (event: CustomEvent<{ rowKey: number; column: string }>): void => {
    const { rowKey, column } = event.detail;
    const working = this.workingOf(rowKey, column);
    if (working === null) {
      this.app.tell('This cell was typed in, so there is no working to show. Choose a shaded column.');
      return;
    }
    this.app.working = working;
    this.app.notify();
  };

  private keptWidth(column: string): { width?: number } {
    const kept = Number(remembered(`fairpen-width-${this.sheet}-${column}`));
    return kept > 0 ? { width: kept } : {};
  }
  private readonly widened = (event: CustomEvent<{ column: string; width: number }>): void => {
    remember(`fairpen-width-${this.sheet}-${event.detail.column}`, String(Math.round(event.detail.width)));
  };
}

customElements.define('fp-hosted-grid', HostedGrid);
