/**
 * Names in the rows of a file that fit two animals: each with the animals it fits, to be told apart before it comes in.
 *
 * Enters: how many there are. Leaves: a choice for each, or none.
 * Always true: a name that nobody chose for comes in as the file has it, is marked, and is used nowhere.
 * Never: chooses by itself.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ImportName, ImportPreview } from '../../engine/generated/core.js';
import { dayInWords } from '../days.ts';
import { Answer, counted, View } from '../view.ts';
import { bringing } from './bringing.ts';

/** Names listed at once. */
const MOST_NAMES = 50;

export class Naming extends View {
  static override properties = { preview: { attribute: false } };
  declare preview: ImportPreview;
  private readonly names = new Answer<ImportName[]>(this);
  private stamp = 0;
  private seen: ImportPreview | undefined;
  private first = 0;

  protected override render(): TemplateResult {
    const { preview } = this;
    if (this.seen !== preview) {
      this.seen = preview;
      this.stamp += 1;
    }
    const { namesAsked: n, namesChosen } = preview;
    if (this.first >= n) this.first = 0;
    const names = this.names.follow(`${this.stamp} ${this.first}`, () => this.app.engine.ask('importNames', { first: this.first, n: MOST_NAMES })) ?? [];
    const last = Math.min(this.first + MOST_NAMES, n);
    return html`<section class="naming" aria-labelledby="naming-title"><h3 id="naming-title">${n === 1 ? '1 name fits more than one animal' : `${n.toLocaleString('en-US')} names fit more than one animal`}</h3>
      <p>Say which is meant. What you leave for later comes in marked, and is used nowhere until you choose in its cell.
        <span class="soft" role="status">${namesChosen.toLocaleString('en-US')} of ${n.toLocaleString('en-US')} chosen.</span></p>
      ${names.map((name) => this.name(name))}
      ${n <= MOST_NAMES ? nothing : html`<p class="row"><span class="soft">${(this.first + 1).toLocaleString('en-US')} to ${last.toLocaleString('en-US')} of ${counted(n, 'name')}</span>
        <button type="button" ?disabled=${this.first === 0} @click=${() => this.turnTo(this.first - MOST_NAMES)}>Earlier ones</button>
        <button type="button" ?disabled=${last >= n} @click=${() => this.turnTo(last)}>Next ones</button></p>`}
    </section>`;
  }

  private name(name: ImportName): TemplateResult {
    const group = `n-${name.row}-${name.column}-${name.nth}`;
    const choice = (at: number | undefined, label: TemplateResult | string, alike = false): TemplateResult =>
      html`<label class="choice"><input type="radio" name=${group} .checked=${(name.chosen ?? undefined) === at} ?disabled=${alike} @change=${() => this.choose(name, at)} /> ${label}</label>`;
    return html`<fieldset class=${name.chosen == null ? 'question' : 'question settled'}><legend>Line ${name.line}, ${name.label} ${name.name}${name.on === '' ? nothing : `, ${dayInWords(name.on)}`}</legend>
      ${name.mayMean.map(({ words, text }, at) => choice(at, text == null ? html`${words} <span class="soft">(nothing tells it from the others: give one of them its birth year or EID first)</span>` : words, text == null))}
      ${choice(undefined, 'Leave it for later')}</fieldset>`;
  }

  private turnTo(first: number): void {
    this.first = Math.max(0, first);
    this.requestUpdate();
    void this.updateComplete.then(() => this.scrollIntoView({ block: 'start' }));
  }

  private choose({ row, column, nth }: ImportName, choice: number | undefined): void {
    void bringing.nameAnew({ row, column, nth, choice: choice ?? null });
  }
}

customElements.define('fp-naming', Naming);
