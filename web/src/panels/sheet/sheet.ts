/**
 * A sheet of records, as she types it in, with what the engine makes of it beside.
 *
 * Enters: a sheet key. Leaves: edits.
 * Always true: columns that nobody uses are folded away until asked for; the count of hidden columns is shown.
 * Never: hides a column that holds anything.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ColumnInfo } from '../../engine/generated/core.js';
import { remember, remembered } from '../app.ts';
import { openFormulaBox } from '../formula/formula.ts';
import { icon } from '../icons.ts';
import { View } from '../view.ts';
import './hosted-grid.ts';
import type { HostedGrid } from './hosted-grid.ts';
import { keysHelp } from './keys-help.ts';
import './replace-bar.ts';
import type { ReplaceBar } from './replace-bar.ts';

/** Shown in an empty sheet, so that there is something to type into. */
const USUAL: Record<string, readonly string[]> = {
  calves: ['tag', 'sex', 'birth_date', 'birth_weight', 'dam', 'dam_age', 'sire', 'place', 'wean_date', 'wean_weight', 'note'],
};

export class Sheet extends View {
  static override properties = { sheet: {} };
  sheet = 'calves';
  private all = false;
  private filters = false;
  private compact = remembered('fairpen-compact') === 'yes';
  private folded = 0;
  private replacing = false;
  private chooser = this.chosen(false);

  private chosen(all: boolean): (columns: readonly ColumnInfo[]) => readonly ColumnInfo[] {
    return (columns) => {
      const usual = USUAL[this.sheet];
      const shown = columns.filter((column, index) => all || index === 0 || !column.empty || (usual?.includes(column.key) ?? column.origin === 'entered'));
      this.folded = columns.length - shown.length;
      return shown;
    };
  }

  override connectedCallback(): void {
    super.connectedCallback();
    addEventListener('keydown', this.key);
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback();
    removeEventListener('keydown', this.key);
  }

  private readonly key = (event: KeyboardEvent): void => {
    const inside = event.target instanceof Element ? event.target : null;
    if (event.defaultPrevented || inside?.closest('dialog') != null) return;
    const typing = inside?.closest('input, textarea, select') != null;
    if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === 'h' && !this.app.readOnly) {
      event.preventDefault();
      this.replace();
    } else if (event.key === 'F1' || (event.key === '?' && !typing && inside?.closest('fp-grid') == null)) {
      event.preventDefault();
      this.keys?.showModal();
    }
  };

  private replace(): void {
    this.replacing = true;
    this.requestUpdate();
    void this.updateComplete.then(() => this.querySelector<ReplaceBar>('fp-replace-bar')?.focusFind());
  }

  protected override willUpdate(changed: Map<string, unknown>): void {
    if (changed.has('sheet')) this.chooser = this.chosen(this.all);
  }

  protected override render(): TemplateResult {
    const info = this.app.state?.sheets.find((one) => one.key === this.sheet);
    if (info === undefined) return html``;
    const shown = this.querySelector<HostedGrid>('fp-hosted-grid')?.nShown ?? info.nRows;
    const rows = shown === info.nRows ? `${info.nRows.toLocaleString('en-US')} rows` : `${shown.toLocaleString('en-US')} of ${info.nRows.toLocaleString('en-US')} rows shown`;
    return html`
      <div class="sheet-head">
        <h1>${info.label}</h1><span class="soft" role="status">${rows}</span>
        <button type="button" class="quiet" aria-pressed=${String(this.filters)} @click=${() => { this.filters = !this.filters; this.requestUpdate(); }}>${icon('filter')} Filter</button>
        ${this.app.readOnly ? nothing : html`<button type="button" class="quiet" aria-expanded=${String(this.replacing)} @click=${() => this.replace()}>Replace</button>`}
        <button type="button" class="quiet" aria-pressed=${String(this.compact)} @click=${this.toggleCompact}>Tight rows</button>
        ${this.app.readOnly ? nothing : html`<button type="button" class="quiet" @click=${() => this.dialog?.showModal()}>Add a column</button>`}
        ${this.app.readOnly ? nothing : html`<button type="button" class="quiet" aria-haspopup="dialog" @click=${() => openFormulaBox(this.sheet)}>Calculated column</button>`}
        <button type="button" class="quiet" aria-pressed=${String(this.all)} @click=${this.toggleAll}>All columns${this.folded > 0 && !this.all ? ` (${this.folded} unused)` : ''}</button>
        <button type="button" class="quiet keys-button" aria-haspopup="dialog" aria-label="Keys of the sheet" title="Keys of the sheet (F1)" @click=${() => this.keys?.showModal()}>?</button>
      </div>
      ${this.replacing ? html`<fp-replace-bar .sheet=${this.sheet} .host=${this.querySelector<HostedGrid>('fp-hosted-grid')} @close-replace=${() => { this.replacing = false; this.requestUpdate(); }}></fp-replace-bar>` : nothing}
      <fp-hosted-grid class="fill" .sheet=${this.sheet} .label=${info.label} .choose=${this.chooser} ?appendable=${true} ?filters=${this.filters} ?compact=${this.compact}
        @shown=${() => this.requestUpdate()}></fp-hosted-grid>
      ${keysHelp()}
      <dialog class="small" aria-labelledby="add-column"><form method="dialog" @submit=${this.add}>
        <h2 id="add-column">Add a column of your own</h2>
        <label class="field"><span>Header</span><input name="label" required maxlength="60" autocomplete="off" /></label>
        <div class="row end"><button type="button" @click=${() => this.dialog?.close()}>Cancel</button><button class="primary">Add it</button></div>
      </form></dialog>`;
  }

  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog.small');
  }
  private get keys(): HTMLDialogElement | null {
    return this.querySelector('dialog.keys');
  }
  private readonly add = (event: Event): void => {
    const form = event.target as HTMLFormElement;
    const label = String(new FormData(form).get('label') ?? '').trim();
    if (label !== '') void this.app.change({ do: 'addColumn', sheet: this.sheet, label }).then(() => this.app.tell(`The column "${label}" was added.`), (cause) => this.app.trouble(cause));
    form.reset();
  };
  private readonly toggleCompact = (): void => {
    this.compact = !this.compact;
    remember('fairpen-compact', this.compact ? 'yes' : '');
    this.requestUpdate();
  };
  private readonly toggleAll = (): void => {
    this.all = !this.all;
    this.chooser = this.chosen(this.all);
    this.requestUpdate();
  };
}

customElements.define('fp-sheet', Sheet);
