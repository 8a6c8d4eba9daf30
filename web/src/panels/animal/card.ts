/**
 * The card of an animal or a place: what it is, what it was as a calf, and where else it stands.
 *
 * Enters: a row, or several calves. Leaves: steps to other rows, a new tag, heifers kept as cows.
 * Always true: every line leads to its row; what is said is the engine's.
 * Never: works anything out.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { CardInfo, LinkedPlace, StandsInInfo } from '../../engine/generated/core.js';
import { icon } from '../icons.ts';
import { Answer, counted, View, waiting } from '../view.ts';
import { bringBack, bringBackWords } from './bring-back.ts';
import { follow } from './follow.ts';

/** Cards read for a selection; more heifers can be kept than are listed. */
const MOST_LISTED = 12;

/** What was read, with the rows it is about: it stays on the page until the next is read. */
interface Read { sheet: string; rowKeys: number[]; cards: CardInfo[] }

export class Card extends View {
  private readonly cards = new Answer<Read>(this);
  private doing: '' | 'retag' | 'keep' = '';
  private refusal = '';

  protected override render(): TemplateResult {
    const { card, state } = this.app;
    if (card === null || state === undefined) return html``;
    const read = this.cards.follow(`${this.app.standing} ${state.revision} ${card.sheet} ${card.rowKeys.join(' ')}`, () => this.read(card.sheet, card.rowKeys));
    const title = read === undefined ? 'One row' : read.rowKeys.length > 1 ? counted(read.rowKeys.length, 'calf', 'calves') : read.cards[0]?.title ?? 'One row';
    return html`<aside class="drawer" aria-labelledby="card-title" @keydown=${this.key}>
      <div class="drawer-head"><h2 id="card-title" tabindex="-1">${title}</h2>
        <button type="button" class="quiet square" aria-label="Close the card" @click=${this.close}>${icon('close')}</button></div>
      <div class="drawer-body">${read === undefined ? waiting(this.cards, 'where it stands') : read.rowKeys.length > 1 ? this.several(read.cards, read.rowKeys) : read.cards.map((one) => this.one(one, read.sheet, read.rowKeys))}</div></aside>`;
  }

  private async read(sheet: string, rowKeys: number[]): Promise<Read> {
    const listed = rowKeys.slice(0, MOST_LISTED);
    const cards = await Promise.all(listed.map((rowKey) => this.app.engine.ask('card', { sheet, rowKey })));
    return { sheet, rowKeys, cards: cards.flat() };
  }

  private one(card: CardInfo, sheet: string, rowKeys: number[]): TemplateResult {
    return html`
      ${card.facts.map((fact) => html`<p>${fact}</p>`)}
      ${card.same.length === 0 ? nothing : html`<p>${card.same.map((place) => html`${place.sheet === 'calves' ? 'Her own row as a calf: ' : 'Kept: '}${this.link(place)}`)}</p>`}
      ${card.asCalf.length === 0 ? nothing : html`<h3>As a calf</h3><dl class="inputs">${card.asCalf.map(({ label, text, place }) => html`<div><dt>${label}</dt><dd>${this.link(place, text)}</dd></div>`)}</dl>`}
      ${card.namesTakenOff.map((off) => html`<p class="caution">${off.words}: taken off this record, and named here. ${this.app.readOnly ? nothing : html`<button type="button" @click=${() => { void bringBack(off.sheet, [off.rowKey]).catch((cause: unknown) => this.app.trouble(cause)); }}>${bringBackWords(off.sheet)}</button>`}</p>`)}
      ${card.standsIn.length === 0 ? html`<p class="soft">No other row names it.</p>` : card.standsIn.map((stands) => this.standsIn(stands))}
      ${this.app.readOnly ? nothing : html`<div class="row card-acts">
        ${card.canRetag ? html`<button type="button" aria-expanded=${String(this.doing === 'retag')} @click=${() => this.turn('retag')}>Give a new tag</button>` : nothing}
        ${card.canKeep ? html`<button type="button" aria-expanded=${String(this.doing === 'keep')} @click=${() => this.turn('keep')}>Keep as a cow</button>` : nothing}
      </div>
      ${this.doing === 'retag' && card.canRetag ? this.retagForm(sheet, rowKeys[0] ?? 0) : nothing}
      ${this.doing === 'keep' && card.canKeep ? this.keepForm(rowKeys) : nothing}`}`;
  }

  private several(cards: CardInfo[], rowKeys: number[]): TemplateResult {
    const canKeep = cards.filter((card) => card.canKeep).length;
    return html`<ul class="plain">${cards.map((card) => html`<li><b>${card.title}</b> ${card.facts[0] ?? ''}</li>`)}</ul>
      ${rowKeys.length > cards.length ? html`<p class="soft">and ${(rowKeys.length - cards.length).toLocaleString('en-US')} more</p>` : nothing}
      ${this.app.readOnly || canKeep === 0 ? html`<p class="soft">Heifers that stay can be kept as cows from here.</p>` : html`<div class="row card-acts"><button type="button" aria-expanded=${String(this.doing === 'keep')} @click=${() => this.turn('keep')}>Keep these ${rowKeys.length.toLocaleString('en-US')} as cows</button></div>
        ${this.doing === 'keep' ? this.keepForm(rowKeys) : nothing}`}`;
  }

  private standsIn({ label, n, rows }: StandsInInfo): TemplateResult {
    return html`<h3>${label} <span class="soft count">${n.toLocaleString('en-US')}</span></h3>
      <ul class="plain stands-in">${rows.map((place) => html`<li>${this.link(place)}</li>`)}</ul>
      ${n > rows.length ? html`<p class="soft">and ${(n - rows.length).toLocaleString('en-US')} more</p>` : nothing}`;
  }

  private link(place: LinkedPlace, words = place.words): TemplateResult {
    return html`<a href="#" @click=${(event: Event) => { event.preventDefault(); this.go(place); }}>${words}</a>`;
  }
  private go(place: LinkedPlace): void {
    const { card } = this.app;
    const rowKey = card?.rowKeys[0];
    if (card === null || rowKey === undefined) return;
    follow(place, { sheet: card.sheet, rowKey, column: card.sheet === 'places' ? 'name' : 'tag' });
  }

  private turn(to: 'retag' | 'keep'): void {
    this.doing = this.doing === to ? '' : to;
    this.refusal = '';
    this.requestUpdate();
    if (this.doing !== '') void this.updateComplete.then(() => this.querySelector<HTMLElement>('form input, form select')?.focus());
  }

  private retagForm(sheet: string, rowKey: number): TemplateResult {
    return html`<form class="card-form" @submit=${(event: SubmitEvent) => this.retag(event, sheet, rowKey)}>
      <p class="soft">The old name stays on record with its days, so that older rows still find this animal.</p>
      <label class="field"><span>What is new</span><select name="what"><option value="tag">Tag</option><option value="eid">EID</option></select></label>
      <label class="field"><span>New tag or EID</span><input name="name" required maxlength="60" autocomplete="off" /></label>
      <label class="field"><span>From</span><input name="from" type="date" required .value=${this.day} /></label>
      ${this.refused()}
      <div class="row end"><button type="button" @click=${() => this.turn('retag')}>Cancel</button><button class="primary">Give it</button></div></form>`;
  }

  private keepForm(rowKeys: number[]): TemplateResult {
    return html`<form class="card-form" @submit=${(event: SubmitEvent) => this.keep(event, rowKeys)}>
      <p class="soft">${rowKeys.length === 1 ? 'She gets a row' : 'Each gets a row'} on the cows sheet with tag, EID, birth date, breed, sire and dam from here. Her own weights and ratio stay with her. The row here says moved to cows.</p>
      <label class="field"><span>Joins the cows on</span><input name="from" type="date" required .value=${this.day} /></label>
      ${this.refused()}
      <div class="row end"><button type="button" @click=${() => this.turn('keep')}>Cancel</button><button class="primary">Keep ${rowKeys.length === 1 ? 'her' : 'them'}</button></div></form>`;
  }

  private refused(): TemplateResult | typeof nothing {
    return this.refusal === '' ? nothing : html`<p class="caution" role="alert">${this.refusal}</p>`;
  }
  /** Today, where she is. */
  private get day(): string {
    const now = new Date();
    return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, '0')}-${String(now.getDate()).padStart(2, '0')}`;
  }

  private retag(event: SubmitEvent, sheet: string, rowKey: number): void {
    event.preventDefault();
    const form = new FormData(event.target as HTMLFormElement);
    const said = (key: string): string => String(form.get(key) ?? '');
    this.done(this.app.acknowledged(this.app.engine.ask('retag', { sheet, rowKey, what: said('what'), name: said('name'), from: said('from') })), `The new name is ${said('name')}; the old one stays on record.`);
  }
  private keep(event: SubmitEvent, rowKeys: number[]): void {
    event.preventDefault();
    const from = String(new FormData(event.target as HTMLFormElement).get('from') ?? '');
    this.done(this.app.acknowledged(this.app.engine.ask('keepAsCows', { rowKeys, from })), rowKeys.length === 1 ? 'She is on the cows sheet now.' : `${rowKeys.length} heifers are on the cows sheet now.`);
  }
  private done(answer: Promise<void>, told: string): void {
    answer.then(() => {
      this.doing = '';
      this.refusal = '';
      this.app.tell(told);
      this.querySelector<HTMLElement>('#card-title')?.focus({ preventScroll: true });
    }, (cause: unknown) => {
      this.refusal = cause instanceof Error ? cause.message : String(cause);
    }).finally(() => this.requestUpdate());
  }

  private readonly key = (event: KeyboardEvent): void => {
    if (event.key === 'Escape') this.close();
  };
  private readonly close = (): void => {
    this.app.card = null;
    this.doing = '';
    this.app.notify();
    document.querySelector<HTMLElement>('fp-grid .fpg-scroller')?.focus({ preventScroll: true });
  };
}

customElements.define('fp-card', Card);
