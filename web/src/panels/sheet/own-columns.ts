/**
 * Columns of her own: a new one, and what each holds.
 *
 * Enters: a sheet. Leaves: a new column, or another kind for one.
 * Always true: a change of kind is one step to undo; what cannot be read as the new kind stays as it was written.
 * Never: offers to change a column that the sheet itself has.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ColumnInfo } from '../../engine/generated/core.js';
import { View } from '../view.ts';
import type { HostedGrid } from './hosted-grid.ts';

const KINDS: readonly (readonly [key: string, words: string])[] = [['text', 'Text'], ['number', 'Numbers'], ['weight', 'Weights'], ['date', 'Dates']];

/** The kind of an own column: weights are numbers with the book's unit. */
export const kindOf = (column: ColumnInfo): string => (column.kind === 'number' && column.unit !== '' ? 'weight' : column.kind);

export class OwnColumns extends View {
  static override properties = { sheet: {}, host: { attribute: false } };
  sheet = 'calves';
  host: HostedGrid | null = null;
  private own: readonly ColumnInfo[] = [];

  async show(): Promise<void> {
    await this.list();
    this.querySelector('dialog')?.showModal();
  }

  private async list(): Promise<void> {
    this.own = (await this.app.columns(this.sheet)).filter((column) => column.origin === 'own');
    this.requestUpdate();
    await this.updateComplete;
  }

  private choice(name: string, chosen: string, change?: (kind: string) => void): TemplateResult {
    return html`<select name=${name} @change=${(event: Event) => change?.((event.target as HTMLSelectElement).value)}>
      ${KINDS.map(([key, words]) => html`<option value=${key} ?selected=${key === chosen}>${words}</option>`)}</select>`;
  }

  protected override render(): TemplateResult {
    return html`<dialog class="small own-columns" aria-labelledby="own-columns"><form method="dialog" @submit=${this.add}>
      <h2 id="own-columns">Columns of your own</h2>
      <label class="field"><span>Header of a new column</span><input name="label" required maxlength="60" autocomplete="off" /></label>
      <label class="field"><span>What it will hold</span>${this.choice('kind', 'text')}</label>
      <div class="row end"><button type="button" @click=${() => this.querySelector('dialog')?.close()}>Close</button><button class="primary">Add it</button></div></form>
      ${this.own.length === 0 ? nothing : html`<h3>What your columns hold</h3>
        ${this.own.map((column) => html`<label class="field"><span>${column.label}</span>${this.choice('', kindOf(column), (kind) => void this.setKind(column, kind))}</label>`)}
        <p class="soft">What cannot be read as the new kind stays as it is written, marked. Undo takes the change back.</p>`}
    </dialog>`;
  }

  private async setKind(column: ColumnInfo, kind: string): Promise<void> {
    try {
      await this.app.change({ do: 'setKind', sheet: this.sheet, column: column.key, kind });
      const words = KINDS.find(([key]) => key === kind)?.[1].toLowerCase() ?? kind;
      this.app.tell(`The column "${column.label}" holds ${words} now.`);
    } catch (cause) {
      this.app.trouble(cause);
    }
    await this.list();
  }

  private readonly add = (event: Event): void => {
    const form = event.target as HTMLFormElement;
    const given = new FormData(form);
    const label = String(given.get('label') ?? '').trim();
    const kind = String(given.get('kind') ?? 'text');
    if (label !== '') void this.app.change({ do: 'addColumn', sheet: this.sheet, label, kind }).then(() => this.added(label), (cause) => this.app.trouble(cause));
    form.reset();
  };

  /** She goes on in the new column. */
  private async added(label: string): Promise<void> {
    this.app.tell(`The column "${label}" was added.`);
    const made = (await this.app.columns(this.sheet)).findLast((one) => one.origin === 'own' && one.label === label);
    const { host } = this;
    if (made === undefined || host === null) return;
    const seen = (): void => { host.grid?.goTo(0, made.key); host.grid?.focusSheet(); };
    if (host.grid?.columns.some(({ key }) => key === made.key) === true) seen();
    else host.addEventListener('shown', seen, { once: true });
  }
}

customElements.define('fp-own-columns', OwnColumns);
