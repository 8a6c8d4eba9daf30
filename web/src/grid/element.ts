/**
 * `<fp-grid>`: the sheet as one element.
 *
 * Enters: `source`, and the attributes `label`, `density` (comfortable | compact), `filters`, `appendable`,
 *   `arrangeable` (the host moves, hides and freezes columns, and keeps their widths).
 * Leaves: the events of `contract.ts`.
 * Always true: the focus stays on one element, the active cell is named by aria-activedescendant; the box of
 *   the element never changes size by itself.
 * Never: changes records; a change is asked for and shown as waiting until the host answers.
 */
import { BlockCache } from './cache.js';
import { Changes } from './changes.js';
import { Clipboard } from './clipboard.js';
import { ColumnLayout } from './columns.js';
import type { CellRange, ColumnFilter, GridColumn, GridEvents, GridSource, RowsChosen, SortKey } from './contract.js';
import { Editor } from './edit.js';
import { FilterRow } from './filter.js';
import { HeaderRow } from './header.js';
import { Keys } from './keys.js';
import { Pointer } from './pointer.js';
import { Body } from './render.js';
import { RowScroll } from './scroll.js';
import { HEADER_ROW, rangeBetween, within, type Cell } from './selection.js';
import type { Sheet } from './sheet.js';
import { TouchMenu } from './touch-menu.js';
import { KEYS_HELP } from './words.js';

const ROW_HEIGHT = { comfortable: 44, compact: 28 } as const;
const SETTLE_MS = 140;
const HINT_MS = 9_000;
const HOLD_MS = 120;

let made = 0;

function part(className: string, role?: string): HTMLDivElement {
  const element = document.createElement('div');
  element.className = className;
  if (role) element.setAttribute('role', role);
  return element;
}

function textMeasure(host: HTMLElement): (text: string) => number {
  const context = document.createElement('canvas').getContext('2d');
  if (!context) return (text) => text.length * 8.5;
  return (text) => {
    context.font = `600 15px ${getComputedStyle(host).fontFamily}`;
    return context.measureText(text).width;
  };
}

export class FpGrid extends HTMLElement implements Sheet {
  static readonly observedAttributes = ['label', 'density', 'filters', 'appendable', 'arrangeable'];

  readonly uid = `fpg-${(made += 1)}`;
  readonly rowScroll = new RowScroll();
  readonly layout = new ColumnLayout(textMeasure(this));
  readonly changes = new Changes(this);
  readonly cache = new BlockCache(() => this.arrived(), (message) => this.hint(message));
  readonly shell = part('fpg-shell');
  readonly scroller = part('fpg-scroller', 'grid');
  private readonly spacer = part('fpg-spacer', 'presentation');
  private readonly view = part('fpg-view', 'presentation');
  private readonly top = part('fpg-top', 'rowgroup');
  private readonly note = part('fpg-note');
  private readonly live = part('fpg-unseen');
  private readonly help = part('fpg-unseen');
  private readonly body = new Body(this);
  private readonly header = new HeaderRow(this, (index, settled) => this.columnResized(index, settled), (index) => this.filterRow.openList(index));
  private readonly filterRow = new FilterRow(this);
  private readonly editor = new Editor(this, (way) => this.keys.step(way));
  private readonly keys = new Keys(this, this.header, this.filterRow);

  private given: GridSource | null = null;
  private at: Cell = { row: 0, column: 0 };
  private from: Cell = this.at;
  private sorted: SortKey[] = [];
  fillPreview: CellRange | null = null;
  private frame = 0;
  private settleTimer = 0;
  /** When the present wait for rows began; 0 while there is none. */
  private holdSince = 0;
  private noteTimer = 0;
  private selectionTold = '';
  private built = false;

  constructor() {
    super();
    const { scroller, live, help } = this;
    scroller.tabIndex = 0;
    scroller.setAttribute('aria-multiselectable', 'true');
    help.id = `${this.uid}-help`;
    help.textContent = KEYS_HELP;
    scroller.setAttribute('aria-describedby', help.id);
    live.setAttribute('aria-live', 'polite');
    live.setAttribute('role', 'status');
    this.note.hidden = true;
    this.note.setAttribute('aria-hidden', 'true');
    this.top.append(this.header.element, this.filterRow.element);
    this.view.append(this.top, this.body.element);
    this.spacer.append(this.view);
    scroller.append(this.spacer);
    this.shell.prepend(scroller);
    this.shell.append(this.note, live, help);
    const clipboard = new Clipboard(this);
    new Pointer(this, this.body.element, new TouchMenu(this, clipboard));
    scroller.addEventListener('scroll', () => this.scrolled());
    scroller.addEventListener('focus', () => this.draw());
    scroller.addEventListener('blur', () => this.hideNote());
  }

  connectedCallback(): void {
    if (!this.built) {
      this.built = true;
      this.append(this.shell);
      new ResizeObserver(() => this.measure()).observe(this.scroller);
    }
    this.measure();
  }

  attributeChangedCallback(name: string, _before: string | null, value: string | null): void {
    if (name === 'label') this.scroller.setAttribute('aria-label', value ?? 'Sheet');
    if (name === 'arrangeable') this.layout.hosted = value !== null;
    if (name === 'filters') this.filterRow.element.hidden = value === null;
    this.measure();
  }

  /* What the page sets and asks. */

  get source(): GridSource | null { return this.given; }
  set source(source: GridSource | null) {
    this.given = source;
    this.changes.forget();
    this.selectionTold = '';
    this.cache.open(source);
    if (source) this.changes.noteRevision(source.revision);
    this.at = { row: 0, column: 0 };
    this.from = this.at;
    this.rowScroll.setTop(0);
    this.rebuild();
  }

  /** Call after the records, the order or the filter changed. */
  refresh(): void {
    const source = this.given;
    if (!source) return;
    const columnsBefore = this.layout.columns;
    this.changes.noteRevision(source.revision);
    this.cache.refresh(source);
    if (source.columns !== columnsBefore && JSON.stringify(source.columns) !== JSON.stringify(columnsBefore)) { this.rebuild(columnsBefore); return; }
    this.measure();
    this.at = within(this.at, this.totalRows, this.columns.length, HEADER_ROW);
    this.from = within(this.from, this.totalRows, this.columns.length);
    this.draw();
  }

  /** Leading columns that stay in sight; on a narrow screen as many of them as leave room for the others. */
  get frozen(): number { return this.layout.frozen; }
  set frozen(n: number) {
    if (n === this.layout.frozen) return;
    this.layout.frozen = n;
    this.measure();
  }
  /** Columns that were hidden, for the words of the head's menu. */
  nHidden = 0;
  get sortKeys(): SortKey[] { return this.sorted; }
  set sortKeys(keys: SortKey[]) { this.sorted = keys; this.draw(); }
  get filters(): ColumnFilter[] { return this.filterRow.byColumn; }
  set filters(filters: ColumnFilter[]) { this.filterRow.setFilters(filters); }
  get filterText(): string { return this.filterRow.text; }
  set filterText(text: string) { this.filterRow.text = text; this.filterRow.emit(); }
  clearFilters(): void { this.filterRow.text = ''; this.filterRow.clear(); }
  openValueList(column: string): void { this.filterRow.openList(this.columns.findIndex((one) => one.key === column)); }
  /** Opens the menu of a column's head. */
  openHeadMenu(column: string): void { this.header.openMenu(this.columns.findIndex((one) => one.key === column)); }
  /** Goes to a cell by position and column key, as a link from elsewhere would. */
  goTo(row: number, column: string): void {
    const index = this.columns.findIndex((one) => one.key === column);
    this.select(within({ row, column: Math.max(0, index) }, this.totalRows, this.columns.length));
  }

  /* The seam for the parts. */

  get columns(): readonly GridColumn[] { return this.layout.columns; }
  get nRows(): number { return this.given?.nRows ?? 0; }
  get canArrange(): boolean { return this.hasAttribute('arrangeable'); }
  get canAppend(): boolean { return this.hasAttribute('appendable'); }
  get totalRows(): number { return this.nRows + (this.canAppend ? 1 : 0); }
  get headRows(): number { return this.filterRow.shown ? 2 : 1; }
  get active(): Cell { return this.at; }
  get anchor(): Cell { return this.from; }
  get range(): CellRange { return rangeBetween(this.from, this.at.row < 0 ? this.from : this.at); }

  select(active: Cell, anchor: Cell = active): void {
    this.at = active;
    this.from = anchor.row < 0 ? { row: 0, column: anchor.column } : anchor;
    this.hideNote();
    if (active.row >= 0) this.rowScroll.reveal(active.row);
    this.toNative();
    const { scroller } = this;
    this.scrollSideways(this.layout.reveal(active.column, scroller.scrollLeft, scroller.clientWidth));
    this.draw();
  }

  draw(): void {
    if (this.frame || !this.built) return;
    this.frame = requestAnimationFrame(() => { this.frame = 0; this.drawNow(); });
  }

  say(message: string): void { this.live.textContent = message; }

  hint(message: string): void {
    this.say(message);
    const box = this.boxOf({ row: Math.max(0, this.at.row), column: this.at.column });
    const { note } = this;
    note.textContent = message;
    note.hidden = false;
    const left = Math.max(8, Math.min(box.left, this.shell.clientWidth - note.offsetWidth - 8));
    const below = box.top + box.height + 6;
    const fits = below + note.offsetHeight < this.shell.clientHeight - 8;
    const top = fits ? below : Math.max(8, box.top - note.offsetHeight - 6);
    note.style.transform = `translate(${Math.round(left)}px, ${Math.round(Math.min(top, this.shell.clientHeight - note.offsetHeight - 8))}px)`;
    clearTimeout(this.noteTimer);
    this.noteTimer = window.setTimeout(() => this.hideNote(), HINT_MS);
  }

  private hideNote(): void { this.note.hidden = true; }

  emit<K extends keyof GridEvents>(type: K, detail: GridEvents[K]['detail']): void {
    this.dispatchEvent(new CustomEvent(type, { detail, bubbles: true, composed: true }));
  }

  focusSheet(): void { this.scroller.focus({ preventScroll: true }); }

  cellAt(clientX: number, clientY: number): Cell | null {
    const box = this.body.element.getBoundingClientRect();
    const left = this.scroller.getBoundingClientRect().left;
    if (clientY < box.top || clientY > box.bottom || this.totalRows === 0) return null;
    if (clientY - box.top + this.rowScroll.top > this.rowScroll.contentHeight) return null;
    const x = clientX - left;
    if (x + this.scroller.scrollLeft > this.layout.total) return null;
    return { row: this.rowScroll.rowAt(clientY - box.top), column: this.layout.at(x, this.scroller.scrollLeft) };
  }

  boxOf(cell: Cell): { left: number; top: number; width: number; height: number } {
    const scrolled = cell.column < this.layout.pinned ? 0 : this.scroller.scrollLeft;
    return {
      left: this.layout.left(cell.column) - scrolled,
      top: this.top.offsetHeight + Math.round(cell.row * this.rowScroll.rowHeight - this.rowScroll.top),
      width: this.layout.widths[cell.column] ?? 0,
      height: this.rowScroll.rowHeight,
    };
  }

  scrollSideways(left: number): void {
    if (left !== this.scroller.scrollLeft) this.scroller.scrollLeft = left;
  }

  startEdit(how: 'type' | 'edit'): void {
    // The cell may have been scrolled away, or its row be on its way to the screen.
    if (this.at.row >= 0 && this.rowScroll.reveal(this.at.row)) { this.toNative(); this.drawNow(); }
    this.editor.start(how);
  }

  /** The rows of the selection that are there; null when it is on the empty row alone. */
  async rowsChosen(): Promise<RowsChosen | null> {
    const { range, nRows } = this;
    const first = range.firstRow;
    const last = Math.min(range.lastRow, nRows - 1);
    if (last < first) return null;
    const keyAt = async (row: number): Promise<number | undefined> => this.cache.rowKey(row) ?? (await this.given?.window(row, 1, []))?.rowKeys[0];
    const [firstKey, lastKey] = [await keyAt(first), await keyAt(last)];
    return firstKey === undefined || lastKey === undefined ? null : { first, last, firstKey, lastKey };
  }

  /** Selects rows from edge to edge. */
  selectRows(first: number, last: number): void {
    const highest = this.totalRows;
    this.select(within({ row: first, column: 0 }, highest, this.columns.length), within({ row: last, column: this.columns.length - 1 }, highest, this.columns.length));
  }

  askWorking(): void {
    const rowKey = this.cache.rowKey(this.at.row);
    const column = this.columns[this.at.column];
    if (rowKey !== null && column) this.emit('fp-working', { rowKey, column: column.key });
  }

  /* Inner workings. */

  /** With the columns there were before, the active cell stays in its column, or near where that was. */
  private rebuild(before: readonly GridColumn[] = []): void {
    this.layout.set(this.given?.columns ?? []);
    this.layout.pin(this.scroller.clientWidth);
    this.header.reset();
    this.filterRow.reset();
    this.body.reset();
    this.applyWidths();
    this.measure();
    if (before.length > 0) {
      const after = ({ row, column }: Cell, least = 0): Cell => {
        const index = this.columns.findIndex(({ key }) => key === before[column]?.key);
        return within({ row, column: index < 0 ? column : index }, this.totalRows, this.columns.length, least);
      };
      const { scroller } = this;
      this.at = after(this.at, HEADER_ROW);
      this.from = after(this.from);
      this.scrollSideways(this.layout.reveal(this.at.column, scroller.scrollLeft, scroller.clientWidth));
    }
    this.draw();
  }

  private applyWidths(): void {
    const { style } = this.view;
    this.layout.widths.forEach((width, index) => style.setProperty(`--fpg-w${index}`, `${width}px`));
    for (let index = 0; index < this.layout.pinned; index += 1) style.setProperty(`--fpg-l${index}`, `${this.layout.left(index)}px`);
    style.setProperty('--fpg-total', `${this.layout.total}px`);
    this.spacer.style.width = `${this.layout.total}px`;
    this.scroller.setAttribute('aria-colcount', String(this.layout.widths.length));
  }

  private columnResized(index: number, settled: boolean): void {
    this.applyWidths();
    this.body.regap();
    if (settled) {
      this.emit('fp-width', { column: this.columns[index]?.key ?? '', width: this.layout.widths[index] ?? 0 });
      this.repin();
    }
    this.draw();
  }

  /** Another width of the view or of a column: more or fewer columns may have room to stay in sight. */
  private repin(): void {
    if (!this.layout.pin(this.scroller.clientWidth)) return;
    this.header.pin();
    this.filterRow.pin();
    this.body.reset();
    this.applyWidths();
  }

  private measure(): void {
    if (!this.built || !this.isConnected) return;
    const height = this.getAttribute('density') === 'compact' ? ROW_HEIGHT.compact : ROW_HEIGHT.comfortable;
    this.style.setProperty('--fpg-row', `${height}px`);
    const head = this.top.offsetHeight;
    const { scroller, rowScroll: scroll } = this;
    this.repin();
    this.view.style.height = `${scroller.clientHeight}px`;
    scroll.resize(this.totalRows, height, Math.max(0, scroller.clientHeight - head));
    this.spacer.style.height = `${scroll.spacerHeight + head}px`;
    scroller.setAttribute('aria-rowcount', String(this.totalRows + this.headRows));
    this.toNative();
    this.draw();
  }

  /** Brings the browser's offset in line with where the sheet stands. */
  private toNative(): void {
    const { scroller, rowScroll: scroll } = this;
    if (Math.abs(scroller.scrollTop - scroll.native) >= 1) scroller.scrollTop = scroll.native;
    scroll.native = scroller.scrollTop;
  }

  private scrolled(): void {
    const native = this.scroller.scrollTop;
    if (native !== this.rowScroll.native) {
      this.rowScroll.scrolled(native);
      clearTimeout(this.settleTimer);
      if (this.rowScroll.mapped) {
        this.settleTimer = window.setTimeout(() => {
          this.rowScroll.setTop(this.rowScroll.top);
          this.toNative();
        }, SETTLE_MS);
      }
    }
    this.draw();
  }

  /** Drawn at once: an answer that comes within the frame that asked is painted with it. */
  private arrived(): void {
    this.changes.settle();
    this.drawNow();
  }

  /**
   * After a jump the rows on show stay for a moment, until the new ones are here: better than a blank frame.
   */
  private get holds(): boolean {
    if (this.cache.present) { this.holdSince = 0; return false; }
    const now = performance.now();
    if (!this.holdSince) {
      this.holdSince = now;
      window.setTimeout(() => this.draw(), HOLD_MS);
    }
    return now - this.holdSince < HOLD_MS - 1;
  }

  private drawNow(): void {
    const { rowScroll: scroll, scroller } = this;
    this.cache.want(scroll.firstRow, scroll.endRow);
    this.header.draw();
    if (this.holds) return;
    this.body.draw(scroller.scrollLeft, scroller.clientWidth);
    this.editor.place();
    this.scroller.classList.toggle('fpg-slid', scroller.scrollLeft > 0);
    this.tellSelection();
  }

  private tellSelection(): void {
    const { at, range } = this;
    const column = this.columns[at.column];
    if (at.row < 0 || !column || this.nRows + Number(this.canAppend) === 0) return;
    const rowKey = at.row < this.nRows ? this.cache.rowKey(at.row) : null;
    const told = JSON.stringify([rowKey, at, range, this.given?.revision]);
    if (told === this.selectionTold) return;
    this.selectionTold = told;
    this.emit('fp-select', { rowKey, row: at.row, column: column.key, range });
    if (rowKey !== null) void this.fetchRemark(rowKey, at, column.key);
  }

  /** Only marked cells have a remark; others are not asked about. */
  private async fetchRemark(rowKey: number, at: Cell, column: string): Promise<void> {
    const place = this.cache.place(at.row);
    if (!place?.window.flags[place.index * this.columns.length + at.column]) return;
    const text = await this.given?.remark(rowKey, column).catch(() => '') ?? '';
    if (this.at !== at || text === '') return;
    this.body.remark = { rowKey, column, text };
    this.draw();
  }
}

if (!customElements.get('fp-grid')) customElements.define('fp-grid', FpGrid);

declare global {
  interface HTMLElementTagNameMap { 'fp-grid': FpGrid }
}
