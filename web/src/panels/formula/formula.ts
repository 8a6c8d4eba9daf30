/**
 * The formula box: a column worked out from others.
 *
 * Enters: a sheet, and a calculated column of it or none. Leaves: one change of the book.
 * Always true: what a formula would give is shown before it is saved; one that cannot work is not saved.
 * Never: works anything out; findings, offers and values are the engine's.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { Change, ColumnInfo, FormulaCheck, FormulaFunction, FormulaOffer } from '../../engine/generated/core.js';
import { Stale } from '../../engine/client.ts';
import { words } from '../app.ts';
import type { HostedGrid } from '../sheet/hosted-grid.ts';
import { View } from '../view.ts';
import { CompletionList, LIST_ID } from './completion-list.ts';
import { about, reference } from './reference.ts';
import { findings, marked } from './troubles.ts';
import './formula.css';

const CHECK_AFTER_MS = 180;
const ROWS_SHOWN = 8;
const CELL_END = '\u001f';

interface PreviewRows { keys: number[]; names: string[]; head: string }
/** What was written and neither saved nor taken away: it is there again when the box is opened again. */
interface Draft { sheet: string; column: string; label: string; text: string }
interface Checked { text: string; check: FormulaCheck }

/** Opens the box for a column to come, or for one that is there. */
export function openFormulaBox(sheet: string, column = ''): void {
  void document.querySelector<FormulaBox>('fp-formula')?.show(sheet, column);
}

export class FormulaBox extends View {
  private shown = false;
  private sheet = '';
  private column = '';
  private label = '';
  private text = '';
  private word = '';
  private failure = '';
  private draft: Draft | undefined;
  private restored = false;
  private busy = false;
  private columns: readonly ColumnInfo[] = [];
  private functions: FormulaFunction[] = [];
  private rows: PreviewRows = { keys: [], names: [], head: '' };
  private checked: Checked | undefined;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private readonly offers = new CompletionList(() => this.requestUpdate(), (offer, start, end) => this.take(offer, start, end));

  async show(sheet: string, column: string): Promise<void> {
    const { app } = this;
    try {
      this.columns = await app.columns(sheet);
      if (this.functions.length === 0) this.functions = await app.engine.ask('formulaFunctions', {});
      const name = this.columns[0];
      if (name !== undefined) {
        const window = await app.engine.ask('window', { sheet, first: 0, nRows: ROWS_SHOWN, columns: [name.key] });
        const keys = [...window.rowKeys];
        this.rows = { keys, names: keys.length === 0 ? [] : window.text.split(CELL_END), head: name.label };
      }
    } catch (cause) {
      app.trouble(cause);
      return;
    }
    this.sheet = sheet;
    this.word = '';
    this.shown = true;
    this.choose(column);
    await this.updateComplete;
    if (this.dialog?.open === false) this.dialog.showModal();
    (column === '' ? this.nameField : this.field)?.focus();
  }

  private choose(column: string): void {
    const info = this.columns.find(({ key }) => key === column);
    this.column = column;
    this.label = info?.label ?? '';
    this.text = info?.formula ?? '';
    const { draft } = this;
    this.restored = draft?.sheet === this.sheet && draft.column === column;
    if (draft !== undefined && this.restored) {
      this.label = draft.label;
      this.text = draft.text;
    }
    this.draft = undefined;
    this.failure = '';
    this.checked = undefined;
    this.offers.forget();
    if (this.text !== '') void this.check();
    this.requestUpdate();
  }

  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog');
  }
  private get field(): HTMLTextAreaElement | null {
    return this.querySelector('textarea');
  }
  private get nameField(): HTMLInputElement | null {
    return this.querySelector('input[name=label]');
  }

  protected override render(): TemplateResult {
    return html`<dialog class="wide formula-box" aria-labelledby="formula-title" @close=${this.closed}>${this.shown ? this.content() : nothing}</dialog>`;
  }

  private content(): TemplateResult {
    const { checked, offers, text } = this;
    const troubles = checked?.text === text ? checked.check.troubles : [];
    const usable = checked?.check.usable === true;
    return html`<form class="formula-form" @submit=${this.submitted} novalidate>
      <div class="dialog-head"><h2 id="formula-title">${this.column === '' ? 'A calculated column' : `The formula of ${this.label}`}</h2>
        <p class="soft">The formula is written once and holds for every row. It follows at once when a cell it uses changes.</p></div>
      <div class="dialog-body">
        ${this.restored ? html`<p class="notice" role="status"><span>What you wrote before and did not save is here again.</span><button type="button" class="quiet" @click=${this.startOver}>Start over</button></p>` : nothing}
        <div class="formula-sides"><div>
          ${this.chooser()}
          ${this.column === '' ? html`<label class="field"><span>Name of the column</span><input name="label" required maxlength="60" autocomplete="off" .value=${this.label}
            @input=${(event: Event) => { this.label = (event.target as HTMLInputElement).value; }} /></label>` : nothing}
          <div class="formula-field"><label for="formula-text">Formula</label>
            <div class="formula-stack">${marked(text, troubles)}
              <textarea id="formula-text" class="formula-code" rows="3" spellcheck="false" autocapitalize="off" autocomplete="off" maxlength="8000" .value=${text}
                aria-autocomplete="list" aria-haspopup="listbox" aria-controls=${LIST_ID} aria-activedescendant=${offers.activeId ?? nothing} aria-describedby="formula-how"
                aria-invalid=${String(checked !== undefined && !usable)}
                @input=${this.typed} @keydown=${this.key} @keyup=${this.moved} @click=${this.moved} @blur=${() => offers.close()}></textarea></div>
            ${offers.render()}
            <p class="soft" id="formula-how">Write columns by their keys, like <span class="formula-code">wean_weight - birth_weight</span>. Alt with arrow down lists what could stand at the cursor.</p></div>
          ${offers.inside === undefined ? nothing : about(offers.inside, offers.argument)}
          <div class="formula-findings" aria-live="polite">${checked === undefined || text.trim() === '' ? nothing : findings(checked.text, checked.check, this.point)}</div>
        </div>${this.preview()}</div>
        ${reference({ columns: this.columns.filter(({ key }) => key !== this.column), functions: this.functions, word: this.word, lookFor: (word) => { this.word = word; this.requestUpdate(); }, put: (put) => this.put(put) })}
      </div>
      <div class="dialog-foot">
        ${this.failure === '' ? nothing : html`<p class="caution" role="alert">${this.failure}</p>`}
        <div class="row end">
          ${this.hasFormula ? html`<button type="button" class="formula-away" ?disabled=${this.busy} @click=${this.takeAway}>Take the formula away</button><span class="grow"></span>` : nothing}
          <button type="button" @click=${() => this.dialog?.close()}>Cancel</button>
          <button class="primary" ?disabled=${this.busy || this.app.readOnly}>${this.column === '' ? 'Add the column' : 'Save the formula'}</button></div>
      </div></form>`;
  }

  private get hasFormula(): boolean {
    return this.columns.some(({ key, formula }) => key === this.column && formula != null);
  }

  /** The calculated columns there are, and those of her own that are still empty. */
  private chooser(): TemplateResult | typeof nothing {
    const open = this.columns.filter(({ origin, empty }) => origin === 'calculated' || (origin === 'own' && empty));
    if (open.length === 0) return nothing;
    return html`<label class="field"><span>Which column</span><select name="column" @change=${(event: Event) => this.choose((event.target as HTMLSelectElement).value)}>
      <option value="" ?selected=${this.column === ''}>A new column</option>
      ${open.map(({ key, label, formula }) => html`<option value=${key} ?selected=${key === this.column}>${label}${formula == null ? ' (empty)' : ''}</option>`)}</select></label>`;
  }

  private preview(): TemplateResult {
    const { rows, checked, text } = this;
    const { check } = checked?.text === text ? checked : { check: undefined };
    // People read a minus sign; what is copied from the sheet keeps the keyboard's hyphen.
    const values = check?.usable === true ? check.preview.map((value) => (check.gives === 'number' ? value.replace(/^-(?=\d)/, '\u2212') : value)) : [];
    if (rows.keys.length === 0) return html`<p class="soft">This sheet has no rows yet.</p>`;
    return html`<section class="formula-preview" aria-labelledby="formula-preview"><h3 id="formula-preview">What it gives</h3>
      <table><thead><tr><th scope="col">${rows.head}</th><th scope="col" class="number">${this.label.trim() === '' ? 'Value' : this.label}</th></tr></thead>
        <tbody>${rows.keys.map((_, row) => html`<tr><th scope="row">${rows.names[row] === '' ? `Row ${row + 1}` : rows.names[row]}</th><td class="number">${values[row] ?? ''}</td></tr>`)}</tbody></table>
      <p class="soft">The first rows as they stand on the sheet.</p></section>`;
  }

  /* Typing. */

  private readonly typed = (event: Event): void => {
    const field = event.target as HTMLTextAreaElement;
    this.text = field.value;
    this.failure = '';
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.check(), CHECK_AFTER_MS);
    void this.offers.follow(this.sheet, this.text, field.selectionStart, 'typing');
    this.requestUpdate();
  };

  private readonly key = (event: KeyboardEvent): void => {
    if (this.offers.key(event)) {
      event.preventDefault();
      event.stopPropagation();
    } else if ((event.key === ' ' && event.ctrlKey) || (event.key === 'ArrowDown' && event.altKey)) {
      event.preventDefault();
      const { field } = this;
      if (field !== null) void this.offers.follow(this.sheet, this.text, field.selectionStart, 'asked');
    } else if (event.key === 'Enter' && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      void this.save();
    }
  };

  /** The cursor went elsewhere: another function may stand around it. */
  private readonly moved = (event: Event): void => {
    if (event instanceof KeyboardEvent && (this.offers.open || !['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown', 'Home', 'End'].includes(event.key) || event.altKey)) return;
    void this.offers.follow(this.sheet, this.text, (event.target as HTMLTextAreaElement).selectionStart, 'moving');
  };

  private take(offer: FormulaOffer, start: number, end: number): void {
    this.replace(offer.insert, start, end);
  }
  private put(text: string): void {
    const { field } = this;
    if (field !== null) this.replace(text, field.selectionStart, field.selectionEnd);
  }
  private replace(text: string, start: number, end: number): void {
    const { field } = this;
    if (field === null) return;
    field.focus();
    field.setRangeText(text, start, end, 'end');
    this.text = field.value;
    this.failure = '';
    clearTimeout(this.timer);
    void this.check();
    void this.offers.follow(this.sheet, this.text, field.selectionStart, 'moving');
    this.requestUpdate();
  }

  private readonly point = (start: number, end: number): void => {
    this.field?.focus();
    this.field?.setSelectionRange(start, Math.max(end, start + 1));
  };

  private async check(): Promise<FormulaCheck | undefined> {
    const { sheet, column, text, rows } = this;
    try {
      const check = await this.app.engine.askLatest('formula check', 'checkFormula', { sheet, column, text, rowKeys: rows.keys });
      if (text !== this.text || column !== this.column) return undefined;
      this.checked = { text, check };
      return check;
    } catch (cause) {
      if (!(cause instanceof Stale)) this.failure = words(cause);
      return undefined;
    } finally {
      this.requestUpdate();
    }
  }

  /* Keeping. */

  private readonly submitted = (event: Event): void => {
    event.preventDefault();
    void this.save();
  };

  private async save(): Promise<void> {
    const label = this.label.trim();
    const text = this.text.trim();
    if (this.busy || this.app.readOnly) return;
    if (this.column === '' && label === '') return this.refuse('The column has no name yet. Give it one.', this.nameField);
    if (text === '') return this.refuse('There is no formula yet. Write one, like wean_weight - birth_weight.', this.field);
    clearTimeout(this.timer);
    const check = await this.check();
    if (check === undefined) return;
    const wrong = check.troubles.find(({ error }) => error);
    if (!check.usable) {
      this.refuse(wrong === undefined ? 'This formula cannot be used yet.' : `${wrong.message} ${wrong.hint}`, this.field);
      if (wrong !== undefined) this.point(wrong.start, wrong.end);
      return;
    }
    const { sheet, column } = this;
    if (column === '') await this.keep({ do: 'addCalculated', sheet, label, formula: text }, `The column "${label}" was added.`);
    else await this.keep({ do: 'setFormula', sheet, column, formula: text }, `${this.label} follows the new formula.`);
  }

  private readonly takeAway = (): void => {
    const { sheet, column, label } = this;
    void this.keep({ do: 'setFormula', sheet, column, formula: '' }, `The formula of ${label} was taken away. The column stays and can be typed into; undo brings the formula back.`);
  };

  private async keep(change: Change, done: string): Promise<void> {
    const { sheet } = this;
    const known = new Set(this.columns.map(({ key }) => key));
    this.busy = true;
    this.requestUpdate();
    const host = document.querySelector<HostedGrid>('fp-hosted-grid');
    // Once the grid has the new column, it is brought into sight.
    const seen = async (): Promise<void> => {
      const made = (await this.app.columns(sheet)).find(({ key }) => !known.has(key));
      if (made !== undefined && host !== null) {
        host.grid?.goTo(0, made.key);
        host.grid?.focusSheet();
      }
    };
    const lookForIt = (): void => void seen().catch(() => undefined);
    if (change.do === 'addCalculated') host?.addEventListener('shown', lookForIt, { once: true });
    try {
      await this.app.change(change);
      this.text = '';
      this.dialog?.close();
      this.app.tell(done);
    } catch (cause) {
      host?.removeEventListener('shown', lookForIt);
      this.refuse(words(cause), this.field);
    } finally {
      this.busy = false;
      this.requestUpdate();
    }
  }

  private refuse(why: string, field: HTMLElement | null): void {
    this.failure = why;
    this.requestUpdate();
    field?.focus();
  }

  private readonly startOver = (): void => {
    this.draft = undefined;
    this.choose(this.column);
    (this.column === '' ? this.nameField : this.field)?.focus();
  };

  private readonly closed = (): void => {
    clearTimeout(this.timer);
    const info = this.columns.find(({ key }) => key === this.column);
    const { sheet, column, label, text } = this;
    if (text.trim() !== '' && text !== (info?.formula ?? '')) this.draft = { sheet, column, label, text };
    this.shown = false;
    this.requestUpdate();
  };
}

customElements.define('fp-formula', FormulaBox);
