/**
 * Another name for a column of her own.
 *
 * Enters: the key of the column. Leaves: one change of the book.
 * Always true: the key stays, so formulas and views still know the column.
 * Never: renames a column of the program.
 */
import { html, type TemplateResult } from 'lit';
import { words } from '../app.ts';
import { View } from '../view.ts';
import type { HostedGrid } from './hosted-grid.ts';

export class RenameColumn extends View {
  static override properties = { host: { attribute: false } };
  host: HostedGrid | null = null;
  private key = '';
  private label = '';
  private failure = '';

  open(key: string): void {
    this.key = key;
    this.label = this.host?.arrangement.find(({ info }) => info.key === key)?.info.label ?? '';
    this.failure = '';
    this.requestUpdate();
    void this.updateComplete.then(() => {
      this.querySelector('dialog')?.showModal();
      this.querySelector('input')?.select();
    });
  }

  protected override render(): TemplateResult {
    return html`<dialog class="rename" aria-labelledby="rename-column" @close=${() => this.host?.grid?.focusSheet()}><form @submit=${this.submitted}>
      <h2 id="rename-column">Rename the column</h2>
      <label class="field"><span>Name</span><input name="label" required maxlength="100" autocomplete="off" .value=${this.label} @input=${(event: Event) => { this.label = (event.target as HTMLInputElement).value; }} /></label>
      <p class="soft">Formulas go on calling it <span class="formula-code">${this.key}</span>.</p>
      ${this.failure === '' ? '' : html`<p class="caution" role="alert">${this.failure}</p>`}
      <div class="row end"><button type="button" @click=${() => this.querySelector('dialog')?.close()}>Cancel</button><button class="primary">Rename it</button></div>
    </form></dialog>`;
  }

  private readonly submitted = async (event: Event): Promise<void> => {
    event.preventDefault();
    try {
      await this.app.change({ do: 'renameColumn', sheet: this.host?.sheet ?? '', column: this.key, label: this.label });
      this.querySelector('dialog')?.close();
      this.app.tell(`The column is called "${this.label.trim()}" now.`);
    } catch (cause) {
      this.failure = words(cause);
      this.requestUpdate();
      this.querySelector('input')?.focus();
    }
  };
}

customElements.define('fp-rename-column', RenameColumn);
