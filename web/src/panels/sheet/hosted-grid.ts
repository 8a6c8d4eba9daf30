/**
 * A grid at work: the events of `<fp-grid>` become requests, and changes of the book become fresh rows.
 *
 * Enters: a sheet, the columns to show. Leaves: edits, sorts, filters, the working.
 * Always true: an edit is answered when it is safe; the order stays as it was sorted until it is sorted again.
 * Never: changes a row by itself.
 */
import '../../grid/element.ts';
import '../../grid/entry-line.ts';
import { html, nothing, type TemplateResult } from 'lit';
import type { CellText, ColumnInfo, RowsAside, RowsRequest } from '../../engine/generated/core.js';
import type { Changed } from '../../engine/protocol.ts';
import type { AppendDetail, ColumnDetail, ColumnFilter, EditDetail, GridColumn, OpenDetail, RowsChosen, SelectDetail, SortKey } from '../../grid/contract.ts';
import type { FpGrid } from '../../grid/element.ts';
import { bringBack } from '../animal/bring-back.ts';
import '../animal/cell-names.ts';
import type { ActiveCell, CellNames } from '../animal/cell-names.ts';
import { namesAnimals, typedOver } from '../animal/typed-over.ts';
import { remember, remembered } from '../app.ts';
import { counted, View } from '../view.ts';
import { arranged, frozenOf, hiddenOf, withMoved, withShown, type Arranged } from './arrangement.ts';
import { LookKeeper, type SomeParts } from './look-keeper.ts';
import { OnPaper } from './on-paper.ts';
import { gridColumn, SheetSource } from './source.ts';
import { sayYear } from './year-left-out.ts';
import './status-line.ts';
import type { StatusLine } from './status-line.ts';

export type { RowsChosen } from '../../grid/contract.ts';

export class HostedGrid extends View {
  static override properties = { sheet: {}, choose: { attribute: false }, appendable: { type: Boolean }, label: {}, filters: { type: Boolean }, arrangeable: { type: Boolean }, compact: { type: Boolean }, sortFirst: { attribute: false } };
  sheet = 'calves';
  label = 'Calves';
  appendable = false;
  filters = false;
  compact = false;
  /** The columns are hers to arrange, and the look is kept with the book. */
  arrangeable = false;
  /** Order on first sight. */
  sortFirst: SortKey[] = [];
  /** Which columns, in which order. */
  choose: (columns: readonly ColumnInfo[]) => readonly ColumnInfo[] = (columns) => columns;

  /** Rows hidden here and rows taken off the record. */
  aside: RowsAside | undefined;

  private source: SheetSource | undefined;
  private sort: SortKey[] = [];
  private text = '';
  private byColumn: ColumnFilter[] = [];
  private shownFor = '';
  private chosenFor: unknown;
  private rowsSeen = -1;
  private keeper: LookKeeper | undefined;
  private all: Arranged[] = [];
  private goneTo = '';
  private following: Promise<void> = Promise.resolve();
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
    this.keeper?.flush();
  }

  get grid(): FpGrid | null {
    return this.querySelector('fp-grid');
  }
  get nShown(): number {
    return this.source?.nRows ?? 0;
  }

  /** All columns of the sheet as they are arranged; empty where nothing can be arranged. */
  get arrangement(): readonly Arranged[] {
    return this.all;
  }
  get looks(): LookKeeper | undefined {
    return this.keeper;
  }
  get isFiltered(): boolean {
    return this.byColumn.length > 0;
  }

  protected override render(): TemplateResult {
    return html`<div class="entry-row"><fp-entry-line for="grid"></fp-entry-line><fp-cell-names .cell=${this.cell}></fp-cell-names></div>
      <fp-grid id="grid" label=${this.label} density=${this.compact ? 'compact' : 'comfortable'} ?filters=${this.filters} ?appendable=${this.appendable && !this.app.readOnly} ?arrangeable=${this.arrangeable}
        @fp-edit=${this.edited} @fp-append=${this.appended} @fp-sort=${this.sorted} @fp-filter=${this.filtered} @fp-select=${this.selected}
        @fp-working=${this.asked} @fp-open=${this.opened} @fp-undo=${() => this.app.undo()} @fp-redo=${() => this.app.redo()} @fp-width=${this.widened} @fp-column=${this.columnAct}></fp-grid>
      <div class="sheet-foot"><fp-status-line @undo-told=${() => this.app.undo()}></fp-status-line>${this.away()}</div>`;
  }

  /** What is not shown, each with one act to have it back. On the line that is there anyway, so that nothing jumps. */
  private away(): TemplateResult | typeof nothing {
    const n = hiddenOf(this.all).chosen.length;
    const nRows = this.aside?.hidden ?? 0;
    if (!this.arrangeable || (n === 0 && nRows === 0 && !this.isFiltered)) return nothing;
    return html`<div class="away" role="group" aria-label="Not shown">
      ${this.isFiltered ? html`<span>Filtered</span><button type="button" class="quiet" aria-label="Show all rows" @click=${() => this.grid?.clearFilters()}>Show all</button>` : nothing}
      ${nRows > 0 ? html`<span>${counted(nRows, 'row')} hidden</span><button type="button" class="quiet" aria-label="Show the hidden rows" @click=${() => void this.showHiddenRows().catch((cause) => this.app.trouble(cause))}>Show</button>` : nothing}
      ${n > 0 ? html`<span>${counted(n, 'column')} hidden</span><button type="button" class="quiet" aria-label="Show the hidden columns" @click=${() => this.showHidden()}>Show</button>` : nothing}</div>`;
  }

  protected override updated(): void {
    this.following = this.follow().catch((cause) => this.app.trouble(cause));
  }

  /** Resolves when the rows on the sheet are those of the book after a change. */
  private async inStep(): Promise<void> {
    await this.updateComplete;
    await this.following;
  }

  /** Brings the rows in line with the book. */
  private async follow(): Promise<void> {
    const { app, sheet } = this;
    const { state, book } = app;
    if (state === undefined || book === undefined) return;
    const stamp = `${app.standing} ${sheet} ${state.revision} ${this.arrangeable ? `${state.looks} ${this.lookTurn}` : ''}`;
    const fresh = this.source === undefined || this.source.sheet !== sheet || !this.shownFor.startsWith(`${app.standing} ${sheet} `);
    if (stamp !== this.shownFor || this.choose !== this.chosenFor || fresh) {
      this.shownFor = stamp;
      this.chosenFor = this.choose;
      const infos = await app.columns(sheet);
      if (this.arrangeable) await this.followLook(fresh);
      if (this.shownFor !== stamp) return;
      const columns = this.chosenColumns(infos);
      const rows = state.sheets.find((one) => one.key === sheet)?.nRows ?? 0;
      if (fresh) {
        this.querySelector('fp-entry-line')?.leave();
        this.cell = null;
        this.source = new SheetSource(app.engine, sheet);
        this.sort = [...this.sortFirst];
        this.text = '';
        this.byColumn = [];
      }
      const otherRows = this.takeRowsOfLook();
      const source = this.source;
      if (source === undefined) return;
      // Typing keeps the order as it stands; rows that came or went need a new one.
      if (fresh || otherRows || rows !== this.rowsSeen) await source.setView(this.sort, this.text, this.byColumn);
      this.rowsSeen = rows;
      const { grid } = this;
      const seen = JSON.stringify([columns, frozenOf(this.keeper?.look), hiddenOf(this.all).chosen.length, app.standing, sheet, state.revision]);
      if (grid === null || (seen === this.seen && !fresh && !otherRows)) return this.shown(source);
      this.seen = seen;
      source.columns = columns;
      source.revision += 1;
      grid.frozen = this.arrangeable ? frozenOf(this.keeper?.look) : 1;
      grid.nHidden = hiddenOf(this.all).chosen.length;
      if (fresh || otherRows) grid.sortKeys = this.sort;
      if (fresh) {
        grid.source = source;
        // Heads and rows come in one frame each; shown together, nothing moves.
        this.ready = new Promise((done) => {
          requestAnimationFrame(() => requestAnimationFrame(() => {
            grid.toggleAttribute('data-ready', true);
            done();
          }));
        });
      } else {
        grid.refresh();
        this.querySelector('fp-entry-line')?.columnsChanged();
      }
      if (fresh || otherRows) grid.filters = this.byColumn;
      this.shown(source);
    }
    await this.goToLinked();
  }

  /** What the grid shows, so that it is not drawn anew for a look that changes nothing. */
  private seen = '';
  /** Grows when something was arranged here that the book does not know. */
  private lookTurn = 0;

  private async followLook(fresh: boolean): Promise<void> {
    if (fresh || this.keeper?.sheet !== this.sheet) {
      this.keeper?.flush();
      this.keeper = new LookKeeper(this.sheet, () => this.arrangedAnew());
    }
    await this.keeper?.follow();
  }

  private arrangedAnew(): void {
    this.lookTurn += 1;
    this.requestUpdate();
  }

  private chosenColumns(infos: readonly ColumnInfo[]): GridColumn[] {
    if (!this.arrangeable) return this.choose(infos).map(gridColumn).map((column) => ({ ...column, ...this.keptWidth(column.key) }));
    this.all = arranged(this.sheet, infos, this.keeper?.look?.columns ?? []);
    return this.all.filter(({ shown }) => shown).map(({ info }) => {
      const width = this.keeper?.widthOf(info.key);
      return { ...gridColumn(info), ...(width === undefined ? {} : { width }) };
    });
  }

  /** Sorting and filters of the look, where they differ from what is shown: a view was chosen, or undone. */
  private takeRowsOfLook(): boolean {
    const look = this.keeper?.look;
    if (!this.arrangeable || look === undefined) return false;
    const filters = look.filters.map(({ column, contains, values }): ColumnFilter =>
      ({ column, ...(contains === '' ? {} : { contains }), ...(values == null ? {} : { values }) }));
    const same = JSON.stringify([look.sort, filters]) === JSON.stringify([this.sort.map(({ column, descending }) => ({ column, descending })), this.byColumn]);
    if (same) return false;
    this.sort = look.sort.map(({ column, descending }) => ({ column, descending }));
    this.byColumn = filters;
    return true;
  }

  /* What is done with columns. */

  private readonly columnAct = (event: CustomEvent<ColumnDetail>): void => {
    const { act, column, to } = event.detail;
    if (act === 'move') this.moveColumn(column, to);
    else if (act === 'freeze') this.freeze(to);
    else if (act === 'hide') this.showColumns([column], false);
    else if (act === 'showHidden') this.showHidden();
    else this.dispatchEvent(new CustomEvent('column-act', { detail: event.detail }));
  };

  showColumns(keys: readonly string[], shown: boolean | undefined): void {
    const { keeper } = this;
    if (keeper?.look === undefined) return;
    const places = withShown(this.all, keeper.look.columns, keys, shown);
    if (shown === false && !this.all.some((one) => one.shown && !keys.includes(one.info.key))) {
      this.app.tell('One column must stay, so that there is something to see.');
      return;
    }
    const names = this.all.filter(({ info }) => keys.includes(info.key)).map(({ info }) => info.label);
    const what = names.length === 1 ? names[0] ?? '' : `${names.length} columns`;
    this.arrange({ columns: places }, shown === false
      ? `${what} ${names.length === 1 ? 'is' : 'are'} hidden. Nothing in it is lost; Columns shows it again.`
      : `${what} ${names.length === 1 ? 'is' : 'are'} shown.`);
  }

  showHidden(): void {
    this.showColumns(hiddenOf(this.all).chosen.map(({ info }) => info.key), undefined);
  }

  moveColumn(column: string, to: number): void {
    const { keeper } = this;
    if (keeper?.look === undefined) return;
    const info = this.all.find((one) => one.info.key === column)?.info;
    this.arrange({ columns: withMoved(this.all, keeper.look.columns, column, to) }, `${info?.label ?? column} stands at place ${to + 1} now.`);
  }

  freeze(n: number): void {
    this.arrange({ frozen: n }, () => {
      const inSight = this.grid?.layout.pinned ?? n;
      const done = n === 1 ? 'The first column stays in sight.' : `The first ${n} columns stay in sight.`;
      return inSight >= n ? done : `${done} On a screen this narrow there is room for ${inSight} of them.`;
    });
  }

  arrange(parts: SomeParts, done: string | (() => string)): void {
    if (this.keeper?.look === undefined) return;
    const kept = this.keeper.arrange(parts);
    // What was arranged is seen before the book has it.
    this.arrangedAnew();
    kept.then(() => this.app.tell(typeof done === 'string' ? done : done()), (cause) => this.app.trouble(cause));
  }

  private shown(source: SheetSource): void {
    this.requestUpdate();
    this.dispatchEvent(new Event('shown'));
    void this.countAside().catch((cause) => this.app.trouble(cause));
    void this.paper.follow(source).catch(() => undefined);
  }

  private get status(): StatusLine | null {
    return this.querySelector<StatusLine>('fp-status-line');
  }

  private async countAside(): Promise<void> {
    const { sheet } = this;
    const aside = await this.app.engine.ask('rowsAside', { sheet });
    if (sheet !== this.sheet) return;
    if (JSON.stringify(aside) !== JSON.stringify(this.aside)) {
      this.aside = aside;
      this.requestUpdate();
    }
    this.status?.follow(sheet, this.app.state?.revision ?? 0);
  }

  /* Whole rows. */

  rowsChosen(): Promise<RowsChosen | null> {
    return this.grid?.rowsChosen() ?? Promise.resolve(null);
  }

  private request({ first, last, firstKey, lastKey }: RowsChosen): RowsRequest {
    return { sheet: this.sheet, first, last, firstKey, lastKey };
  }

  /** Takes rows off the record and says so, with the way back. */
  async takeOff(chosen: RowsChosen): Promise<void> {
    await this.changedRows(this.app.engine.ask('takeOffRows', { request: this.request(chosen) }));
    this.grid?.goTo(Math.min(chosen.first, Math.max(0, this.nShown - 1)), this.source?.columns[0]?.key ?? '');
  }

  async bringBack(): Promise<void> {
    const { sheet } = this;
    const rowKeys = await this.app.engine.ask('takenOffKeys', { sheet });
    await bringBack(sheet, [...rowKeys], (keys) => this.changedRows(this.app.engine.ask('bringBackKeys', { sheet, rowKeys: keys })));
  }

  private async changedRows(answer: Promise<Changed & { words: string }>): Promise<void> {
    await this.app.acknowledged(answer);
    const { words } = await answer;
    await this.inStep();
    this.status?.say(this.sheet, words, this.app.state?.revision ?? 0);
    this.app.tell(words);
  }

  /** Puts blank rows in at a position; they stand there until the sheet is sorted or filtered anew. */
  async insert(at: number, nRows: number): Promise<void> {
    await this.app.acknowledged(this.app.engine.ask('insertRows', { sheet: this.sheet, at, nRows }));
    await this.inStep();
    this.grid?.selectRows(at, at + nRows - 1);
    this.app.tell(`${nRows.toLocaleString('en-US')} ${nRows === 1 ? 'row' : 'rows'} put in. Undo takes them out again.`);
  }

  async hide(chosen: RowsChosen): Promise<void> {
    const n = await this.app.engine.ask('hideRows', { request: this.request(chosen) });
    await this.reorder();
    this.grid?.goTo(Math.min(chosen.first, Math.max(0, this.nShown - 1)), this.source?.columns[0]?.key ?? '');
    this.app.tell(`${n.toLocaleString('en-US')} ${n === 1 ? 'row is' : 'rows are'} hidden here. They still count.`);
  }

  async showHiddenRows(): Promise<void> {
    await this.app.engine.ask('showHiddenRows', { sheet: this.sheet });
    await this.reorder();
    this.app.tell('Every hidden row is shown again.');
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
      this.keeper?.filterBy([]);
      await this.source.setView(this.sort, '', []);
      this.grid?.refresh();
      row = await this.app.engine.ask('position', { sheet: this.sheet, rowKey: route.rowKey });
      this.app.tell('The filter was cleared to show this row.');
    }
    const away = this.all.find(({ info, shown }) => info.key === route.column && !shown);
    if (row >= 0 && away !== undefined) {
      this.addEventListener('shown', () => this.grid?.goTo(row, route.column), { once: true });
      this.showColumns([route.column], true);
    }
    if (row >= 0) {
      this.grid?.goTo(row, route.column);
      this.grid?.querySelector<HTMLElement>('.fpg-scroller')?.focus({ preventScroll: true });
    }
  }

  private readonly edited = (event: CustomEvent<EditDetail>): void => {
    const { cells, respondWith } = event.detail;
    const change = { do: 'setCells' as const, sheet: this.sheet, cells: cells.map(({ rowKey, column, text }) => ({ rowKey, column, text })) };
    const [only] = cells;
    const correct = (): Promise<unknown> => this.app.change(change);
    const changed = cells.length === 1 && only !== undefined && namesAnimals(this.sheet, only.column)
      ? typedOver({ sheet: this.sheet, rowKey: only.rowKey, column: only.column, text: only.text }, correct) : correct();
    respondWith(changed);
    void changed.then(() => sayYear(this.sheet, this.all, change.cells)).catch(() => undefined);
  };

  private readonly appended = (event: CustomEvent<AppendDetail>): void => {
    const { rows, cells, respondWith } = event.detail;
    const texts: CellText[] = rows.flatMap((row, index) => row.map(({ column, text }) => ({ rowKey: index, column, text })));
    const existing = cells.map(({ rowKey, column, text }) => ({ rowKey, column, text }));
    respondWith(this.app.change({ do: 'addRows', sheet: this.sheet, nRows: rows.length, cells: texts, existing }));
  };

  private readonly sorted = (event: CustomEvent<{ keys: SortKey[] }>): void => {
    this.sort = event.detail.keys;
    this.keeper?.sortBy(this.sort);
    void this.reorder();
  };

  private readonly filtered = (event: CustomEvent<{ text: string; byColumn: ColumnFilter[] }>): void => {
    this.text = event.detail.text;
    this.byColumn = event.detail.byColumn;
    this.keeper?.filterBy(this.byColumn);
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

  private cell: ActiveCell | null = null;

  /** What the line beside the entry line speaks of. */
  private follows({ rowKey, column, range }: SelectDetail): void {
    const { source, sheet } = this;
    const names = this.namesAnother(column);
    const nRows = Math.min(range.lastRow, (source?.nRows ?? 0) - 1) - range.firstRow + 1;
    const rowKeys = async (): Promise<number[]> => source === undefined || nRows < 1 ? [] : [...(await source.window(range.firstRow, nRows, [])).rowKeys];
    const before = this.cell;
    this.cell = { sheet, rowKey, column, names, nRows, rowKeys };
    if (before === null || before.rowKey !== rowKey || before.column !== column || before.nRows !== nRows || before.sheet !== sheet) this.requestUpdate();
    const { card } = this.app;
    // An open card follows the cursor from row to row.
    if (card !== null && rowKey !== null && card.sheet === sheet && (nRows > 1 || card.rowKeys.length !== 1 || card.rowKeys[0] !== rowKey)) {
      void rowKeys().then((keys) => {
        if (this.app.card === null || keys.length === 0) return;
        this.app.card = { sheet, rowKeys: keys };
        this.app.notify();
      }, () => undefined);
    }
  }

  private namesAnother(column: string): boolean {
    return this.source?.columns.find((one) => one.key === column)?.namesAnother === true;
  }

  private readonly opened = (event: CustomEvent<OpenDetail>): void => {
    const { rowKey, column } = event.detail;
    // The key may come before the line has followed the cursor.
    const followed = this.cell?.rowKey === rowKey && this.cell.sheet === this.sheet ? this.cell : null;
    const cell: ActiveCell = { sheet: this.sheet, rowKey, column, names: this.namesAnother(column), nRows: followed?.nRows ?? 1, rowKeys: followed?.rowKeys ?? (() => Promise.resolve([rowKey])) };
    void this.querySelector<CellNames>('fp-cell-names')?.openByKey(cell).catch((cause) => this.app.trouble(cause));
  };

  private readonly selected = (event: CustomEvent<SelectDetail>): void => {
    const { rowKey, column, range } = event.detail;
    this.follows(event.detail);
    const columns = this.source?.columns.slice(range.firstColumn, range.lastColumn + 1).map((one) => one.key) ?? [];
    this.status?.show(this.sheet, range, columns);
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
    if (origin === 'own' || (origin === 'engine' && this.sheet !== 'calves')) return { rowKey, column, formulaIn: this.sheet };
    return origin === 'engine' ? { rowKey, column } : null;
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
    if (this.keeper !== undefined) {
      this.keeper.widen(event.detail.column, event.detail.width);
      return;
    }
    remember(`fairpen-width-${this.sheet}-${event.detail.column}`, String(Math.round(event.detail.width)));
  };
}

customElements.define('fp-hosted-grid', HostedGrid);
