/**
 * What can be done with whole rows, in one small window: put in, take off, hide, and the way back of each.
 *
 * Enters: the rows chosen. Leaves: one act, through the sheet it was opened for.
 * Always true: every act says how many rows it is about; each but hiding is one step to undo.
 * Never: asks a second time; undo is there.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { View } from '../view.ts';
import type { HostedGrid, RowsChosen } from './hosted-grid.ts';

/** Most rows put in at once; more are brought in as a file. */
const MOST_NEW = 10_000;

const rows = (n: number): string => `${n.toLocaleString('en-US')} ${n === 1 ? 'row' : 'rows'}`;

export class RowsMenu extends View {
  static override properties = { host: { attribute: false } };
  host: HostedGrid | null = null;
  private chosen: RowsChosen | null = null;
  private nNew = 1;

  async show(): Promise<void> {
    this.chosen = (await this.host?.rowsChosen()) ?? null;
    this.nNew = Math.min(MOST_NEW, this.n || 1);
    this.requestUpdate();
    await this.updateComplete;
    this.querySelector('dialog')?.showModal();
  }

  private get n(): number {
    return this.chosen === null ? 0 : this.chosen.last - this.chosen.first + 1;
  }

  /** The window goes first, so that the sheet can take the keyboard again. */
  private act(does: (host: HostedGrid, chosen: RowsChosen) => Promise<void>): void {
    this.querySelector('dialog')?.close();
    const { host, chosen } = this;
    if (host === null) return;
    const none = { first: host.nShown, last: host.nShown - 1, firstKey: 0, lastKey: 0 };
    void does(host, chosen ?? none).catch((cause) => this.app.trouble(cause)).finally(() => host.grid?.focusSheet());
  }

  protected override render(): TemplateResult {
    const aside = this.host?.aside;
    const { n } = this;
    const where = this.chosen === null ? 'No row of the record is chosen.' : n === 1 ? `Row ${(this.chosen.first + 1).toLocaleString('en-US')} is chosen.` : `${rows(n)} are chosen.`;
    return html`<dialog class="small rows-menu" aria-labelledby="rows-title">
      <form method="dialog"><div class="row between"><h2 id="rows-title">Rows</h2><button>Close</button></div></form>
      <p class="soft">${where}</p>
      <label class="field"><span>New rows, how many</span><input type="number" name="n-new" min="1" max=${MOST_NEW} inputmode="numeric" .value=${String(this.nNew)}
        @input=${(event: Event) => { this.nNew = Math.min(MOST_NEW, Math.max(1, Math.floor(Number((event.target as HTMLInputElement).value)) || 1)); }} /></label>
      <div class="menu-acts">
        <button type="button" data-rows="above" @click=${() => this.act((host, { first }) => host.insert(first, this.nNew))}>Put in above</button>
        <button type="button" data-rows="below" @click=${() => this.act((host, { last }) => host.insert(last + 1, this.nNew))}>Put in below</button>
        ${n === 0 ? nothing : html`
          <button type="button" data-rows="off" @click=${() => this.act((host, chosen) => host.takeOff(chosen))}>Take ${rows(n)} off the record</button>
          <button type="button" data-rows="hide" @click=${() => this.act((host, chosen) => host.hide(chosen))}>Hide ${rows(n)} here</button>`}
        ${aside === undefined || aside.hidden === 0 ? nothing : html`<button type="button" data-rows="show" @click=${() => this.act((host) => host.showHiddenRows())}>Show ${rows(aside.hidden)} hidden</button>`}
        ${aside === undefined || aside.takenOff === 0 ? nothing : html`<button type="button" data-rows="back" @click=${() => this.act((host) => host.bringBack())}>Bring back ${rows(aside.takenOff)} taken off</button>`}
      </div>
      <p class="soft">Rows taken off count in nothing: no result, no list, no file. They stay in the book and can be brought back. Hidden rows still count.</p>
    </dialog>`;
  }
}

customElements.define('fp-rows-menu', RowsMenu);
