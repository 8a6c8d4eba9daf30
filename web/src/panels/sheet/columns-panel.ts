/**
 * All columns of a sheet, each with a tick.
 *
 * Enters: the arrangement of the sheet. Leaves: columns shown, hidden and moved, and how many stay in sight.
 * Always true: every act shows on the sheet at once and is a step of undo; what a tick does not show is not lost.
 * Never: lists a column that is not there.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { counted, View } from '../view.ts';
import { frozenOf, hiddenOf, type Arranged } from './arrangement.ts';
import type { HostedGrid } from './hosted-grid.ts';
import './arranging.css';

const ORIGIN: Record<string, string> = { own: 'your own', calculated: 'your formula', engine: 'worked out' };

export class ColumnsPanel extends View {
  static override properties = { host: { attribute: false } };
  host: HostedGrid | null = null;
  private shown = false;
  private word = '';

  open(): void {
    this.word = '';
    this.shown = true;
    this.requestUpdate();
    void this.updateComplete.then(() => {
      const { dialog } = this;
      if (dialog?.open === false) dialog.showModal();
      // A finger asked for the list, not for the keyboard that would cover it.
      if (matchMedia('(pointer: fine)').matches) this.querySelector<HTMLInputElement>('[name=word]')?.focus();
    });
  }

  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog');
  }

  protected override render(): TemplateResult {
    return html`<dialog class="arranging" aria-labelledby="columns-title" @close=${this.closed} @click=${this.clicked}>${this.shown ? this.content() : nothing}</dialog>`;
  }

  private content(): TemplateResult {
    const all = this.host?.arrangement ?? [];
    const visible = all.filter(({ shown }) => shown);
    const { chosen, unused } = hiddenOf(all);
    const word = this.word.trim().toLowerCase();
    const found = word === '' ? all : all.filter(({ info }) => `${info.label} ${info.key}`.toLowerCase().includes(word));
    const facts = [`${visible.length} of ${counted(all.length, 'column')} shown`, ...(chosen.length > 0 ? [`${chosen.length} hidden`] : []), ...(unused.length > 0 ? [`${unused.length} not in use`] : [])];
    const frozen = Math.min(frozenOf(this.host?.looks?.look), Math.max(1, visible.length));
    return html`<div class="arranging-head">
        <div class="row between"><h2 id="columns-title">Columns</h2><button type="button" @click=${() => this.dialog?.close()}>Close</button></div>
        <p class="soft" role="status">${facts.join(', ')}. A column that is not in use comes up by itself once it holds something.</p>
        <label class="field"><span>Find a column</span><input name="word" type="search" autocomplete="off" spellcheck="false" .value=${this.word}
          @input=${(event: Event) => { this.word = (event.target as HTMLInputElement).value; this.requestUpdate(); }} /></label>
        <div class="row">
          <button type="button" ?disabled=${chosen.length === 0} @click=${() => this.host?.showHidden()}>Show hidden</button>
          <button type="button" ?disabled=${visible.length === all.length} @click=${() => this.host?.showColumns(all.filter((one) => !one.shown).map(({ info }) => info.key), true)}>Show all</button>
          <label class="inline-field"><span>Stay in sight</span><select name="frozen" @change=${(event: Event) => this.host?.freeze(Number((event.target as HTMLSelectElement).value))}>
            ${visible.slice(0, Math.max(6, frozen)).map(({ info }, index) => html`<option value=${index + 1} ?selected=${index + 1 === frozen}>${index === 0 ? `${info.label} only` : `up to ${info.label}`}</option>`)}</select></label>
        </div></div>
      <ul class="arranging-list" tabindex="0" aria-label="All columns of the sheet">${found.length === 0 ? html`<li class="soft">No column is called this.</li>` : repeat(found, ({ info }) => info.key, (one) => this.line(one, visible, word === ''))}</ul>`;
  }

  private line(one: Arranged, visible: readonly Arranged[], inOrder: boolean): TemplateResult {
    const { info, shown } = one;
    const at = visible.indexOf(one);
    const notes = [info.unit, ORIGIN[info.origin] ?? '', info.empty ? 'holds nothing' : ''].filter((note) => note !== '');
    const step = (to: number, words: string, sign: string): TemplateResult => html`<button type="button" class="quiet step" aria-label=${`${words} ${info.label}`} title=${words}
      ?disabled=${to < 0 || to >= visible.length} @click=${() => this.host?.moveColumn(info.key, to)}>${sign}</button>`;
    return html`<li><label class="tick"><input type="checkbox" .checked=${shown} @change=${(event: Event) => this.tick(one, event.target as HTMLInputElement)} />
      <span><b>${info.label}</b>${notes.length > 0 ? html` <span class="soft">${notes.join(', ')}</span>` : nothing}</span></label>
      ${shown && inOrder ? html`${step(at - 1, 'Earlier:', '\u2191')}${step(at + 1, 'Later:', '\u2193')}` : nothing}</li>`;
  }

  private tick({ info }: Arranged, box: HTMLInputElement): void {
    this.host?.showColumns([info.key], box.checked);
    // Refused, where it is the last one: the tick says what is shown.
    void this.updateComplete.then(() => {
      box.checked = this.host?.arrangement.find((one) => one.info.key === info.key)?.shown ?? box.checked;
    });
  }

  /** A press beside the sheet of paper puts it away. */
  private readonly clicked = (event: Event): void => {
    if (event.target === this.dialog) this.dialog?.close();
  };

  private readonly closed = (): void => {
    this.shown = false;
    this.requestUpdate();
    this.host?.grid?.focusSheet();
  };
}

customElements.define('fp-columns-panel', ColumnsPanel);
