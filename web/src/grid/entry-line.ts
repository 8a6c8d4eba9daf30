/**
 * `<fp-entry-line>`: the line above the sheet that shows the active cell in full.
 *
 * Enters: the selection of one `<fp-grid>`, given by `grid` or by the attribute `for` (its id).
 * Leaves: the same `fp-edit` a cell leaves, through the sheet.
 * Always true: shows the raw text, says why a calculated cell cannot be typed over, and any remark.
 * Never: saves what was only looked at.
 */
import type { SelectDetail } from './contract.js';
import type { FpGrid } from './element.js';
import { whyNotTyped } from './words.js';

export class FpEntryLine extends HTMLElement {
  private readonly place = document.createElement('span');
  private readonly field = document.createElement('input');
  private readonly remark = document.createElement('span');
  private sheet: FpGrid | null = null;
  /** Something was typed into the line since the cell was chosen; only then is there anything to save. */
  private typed = false;
  private shown: { rowKey: number | null; column: string; raw: string } | null = null;
  private readonly follow = (event: CustomEvent<SelectDetail>): void => void this.show(event.detail);

  constructor() {
    super();
    this.place.className = 'fpg-entry-place';
    this.field.className = 'fpg-entry-field';
    this.field.type = 'text';
    this.field.autocomplete = 'off';
    this.field.spellcheck = false;
    this.field.setAttribute('aria-label', 'Content of the selected cell');
    this.remark.className = 'fpg-entry-remark';
    this.remark.id = 'fpg-entry-remark';
    this.field.setAttribute('aria-describedby', this.remark.id);
    this.field.addEventListener('keydown', (event) => this.key(event));
    this.field.addEventListener('input', () => { this.typed = true; });
    this.field.addEventListener('blur', () => this.accept());
  }

  connectedCallback(): void {
    this.replaceChildren(this.place, this.field, this.remark);
    const id = this.getAttribute('for');
    const found = id ? document.getElementById(id) : null;
    if (found && found.localName === 'fp-grid') this.grid = found as FpGrid;
  }

  disconnectedCallback(): void { this.grid = null; }

  get grid(): FpGrid | null { return this.sheet; }
  set grid(grid: FpGrid | null) {
    this.sheet?.removeEventListener('fp-select', this.follow);
    this.sheet = grid;
    grid?.addEventListener('fp-select', this.follow);
  }

  private async show(detail: SelectDetail): Promise<void> {
    const source = this.sheet?.source;
    const column = source?.columns.find((one) => one.key === detail.column);
    if (!source || !column) return;
    this.accept();
    const shown = { rowKey: detail.rowKey, column: detail.column, raw: '' };
    this.shown = shown;
    this.typed = false;
    this.place.textContent = `Row ${(detail.row + 1).toLocaleString('en-US')} · ${column.label}${column.unit ? ` (${column.unit})` : ''}`;
    this.field.readOnly = !column.editable;
    const ask = async (question: Promise<string>): Promise<string> => question.catch(() => '');
    const [raw, remark] = detail.rowKey === null
      ? ['', '']
      : await Promise.all([ask(source.raw(detail.rowKey, column.key)), ask(source.remark(detail.rowKey, column.key))]);
    if (this.shown !== shown) return;
    shown.raw = raw;
    if (!this.typed) this.field.value = raw;
    this.remark.textContent = remark || (column.editable ? '' : whyNotTyped(column));
    this.remark.classList.toggle('fpg-attention', remark !== '');
  }

  /** Call before another sheet is shown: what was typed is kept, and nothing of the old sheet is typed into. */
  leave(): void {
    this.accept();
    this.clear();
  }

  /** Call when columns came or went: a cell that is not shown any more is not typed into. */
  columnsChanged(): void {
    if (this.shown === null || this.sheet?.columns.some(({ key }) => key === this.shown?.column) === true) return;
    this.clear();
  }

  private clear(): void {
    this.shown = null;
    this.typed = false;
    this.place.textContent = '';
    this.field.value = '';
    this.field.readOnly = true;
    this.remark.textContent = '';
  }

  private key(event: KeyboardEvent): void {
    if (event.isComposing || !this.shown) return;
    if (event.key === 'Enter') {
      event.preventDefault();
      this.accept();
      this.sheet?.focusSheet();
    } else if (event.key === 'Escape') {
      event.preventDefault();
      this.field.value = this.shown.raw;
      this.typed = false;
      this.sheet?.focusSheet();
    }
  }

  private accept(): void {
    const { shown, sheet } = this;
    const text = this.field.value;
    // While the text of the cell is on its way, the line still shows that of the cell before.
    if (!shown || !sheet || !this.typed || this.field.readOnly || text === shown.raw) return;
    this.typed = false;
    shown.raw = text;
    if (shown.rowKey === null) void sheet.changes.send([], [[{ column: shown.column, text }]], 'type');
    else void sheet.changes.send([{ rowKey: shown.rowKey, column: shown.column, text }], [], 'type');
  }
}

if (!customElements.get('fp-entry-line')) customElements.define('fp-entry-line', FpEntryLine);

declare global {
  interface HTMLElementTagNameMap { 'fp-entry-line': FpEntryLine }
}
