/**
 * The working drawer: how one number was made.
 *
 * Enters: a calf and a computed column. Leaves: links to the cells that went in.
 * Always true: the same text as everywhere else, from the engine.
 * Never: works anything out.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { WorkingInfo, WorkingInputInfo } from '../../engine/generated/core.js';
import { openFormulaBox } from '../formula/formula.ts';
import { icon } from '../icons.ts';
import { format, route } from '../route.ts';
import { Answer, View, waiting } from '../view.ts';

export class Working extends View {
  private readonly working = new Answer<WorkingInfo>(this);

  protected override render(): TemplateResult {
    const { working, state } = this.app;
    if (working === null || state === undefined) return html``;
    const { rowKey, column, formulaIn } = working;
    const info = this.working.follow(`${formulaIn ?? ''} ${rowKey} ${column} ${state.revision}`, () => formulaIn === undefined
      ? this.app.engine.askLatest('working', 'working', { rowKey, column })
      : this.app.engine.askLatest('working', 'calculatedWorking', { sheet: formulaIn, rowKey, column }));
    return html`<aside class="drawer" aria-labelledby="working-title" @keydown=${(event: KeyboardEvent) => { if (event.key === 'Escape') this.close(); }}>
      <div class="drawer-head"><h2 id="working-title" tabindex="-1">${info?.title ?? 'How this was made'}</h2>
        <button type="button" class="quiet square" aria-label="Close the working" @click=${this.close}>${icon('close')}</button></div>
      <div class="drawer-body" aria-live="polite">${info === undefined ? waiting(this.working, 'the working') : this.content(info, formulaIn)}</div></aside>`;
  }

  private content(info: WorkingInfo, formulaIn: string | undefined): TemplateResult {
    return html`
      <p class="result">${info.result}</p>
      ${info.inputs.length === 0 ? nothing : html`<h3>What went in</h3>
        <dl class="inputs">${info.inputs.map((input) => html`<div><dt>${input.words}</dt><dd>${this.input(input)}</dd></div>`)}</dl>`}
      ${info.formula === '' ? nothing : html`<h3>The formula</h3><p class="formula">${info.formula}</p>`}
      ${info.withNumbers === '' ? nothing : html`<p class="formula numbers">${info.withNumbers}</p>`}
      ${formulaIn === undefined || this.app.readOnly ? nothing : html`<p><button type="button" @click=${() => openFormulaBox(formulaIn, info.column)}>Change the formula</button></p>`}
      ${info.source === '' ? nothing : html`<h3>Where it comes from</h3><p>${info.source}</p>`}
      ${this.list('What was assumed', info.assumed)}
      ${this.list('What would change it', info.wouldChange)}`;
  }

  private input(input: WorkingInputInfo): TemplateResult {
    if (input.rowKey == null || input.sheet === '') return html`${input.value}`;
    return html`<a href=${format(route('sheet', input.sheet, input.rowKey, input.column))}>${input.value === '' ? 'not recorded' : input.value}</a>`;
  }

  private list(heading: string, sentences: readonly string[]): TemplateResult | typeof nothing {
    if (sentences.length === 0) return nothing;
    return html`<h3>${heading}</h3><ul>${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>`;
  }

  private readonly close = (): void => {
    this.app.working = null;
    this.app.notify();
    document.querySelector<HTMLElement>('fp-grid .fpg-scroller')?.focus({ preventScroll: true });
  };
}

customElements.define('fp-working', Working);
