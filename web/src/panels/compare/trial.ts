/**
 * Plan a fair trial: next year's cows put into places by lot.
 *
 * Enters: places she names, the head each takes, a seed. Leaves: a list per place to print or to save, and how alike
 * the places are before and after.
 * Always true: the lists are the engine's draw for the places and the seed shown; nothing in the book changes.
 * Never: says what a place can take or how cows are to be moved.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { TrialListInfo, TrialRequest, TrialView, ValueCount } from '../../engine/generated/core.js';
import { words } from '../app.ts';
import { dayInWords, today } from '../days.ts';
import { format, route } from '../route.ts';
import { Answer, counted, download, fileName, View } from '../view.ts';

interface PlaceLine { name: string; head: string }

/** The largest seed the draw takes. */
const LARGEST_SEED = 4_294_967_295;

export class Trial extends View {
  private readonly known = new Answer<ValueCount[]>(this);
  private places: PlaceLine[] = [{ name: '', head: '' }, { name: '', head: '' }];
  /** Fixed for the day, so that a list is not drawn again until it pleases. */
  private seed = today().replaceAll('-', '');
  private failure = '';
  private drawn: { view: TrialView; request: TrialRequest; standing: string } | undefined;

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const standing = `${this.app.standing} ${state.revision}`;
    const known = this.known.follow(standing, () => this.app.engine.ask('values', { sheet: 'places', column: 'name' })) ?? [];
    const stale = this.drawn !== undefined && this.drawn.standing !== standing;
    return html`<div class="answer trial"><h1>Plan a fair trial</h1>
      <p class="lead">Next year's cows put into pens or on grass by lot. Then whatever else makes calves differ is shared out by chance, and next fall's comparison is fair. Nothing in the book changes. <a href=${format(route('compare'))}>Back to Compare</a></p>
      ${this.form(known, standing)}
      ${this.failure === '' ? nothing : html`<p class="caution" role="alert">${this.failure}</p>`}
      ${stale ? html`<div class="notice" role="status"><span>The book has changed since this was drawn.</span></div>` : nothing}
      ${this.drawn === undefined ? nothing : this.result(this.drawn.view, this.drawn.request)}
    </div>`;
  }

  private form(known: ValueCount[], standing: string): TemplateResult {
    const set = (at: number, change: Partial<PlaceLine>): void => {
      this.places = this.places.map((place, index) => (index === at ? { ...place, ...change } : place));
      this.requestUpdate();
    };
    return html`<form class="compare-form trial-form" @submit=${(event: Event) => { event.preventDefault(); void this.draw(standing); }}>
      <fieldset class="trial-places"><legend>Places</legend>
        <datalist id="trial-known">${known.filter((one) => one.text !== '').map((one) => html`<option value=${one.text}></option>`)}</datalist>
        ${this.places.map((place, at) => html`<div class="row">
          <label class="field"><span>Place ${at + 1}</span><input list="trial-known" autocomplete="off" .value=${place.name} @input=${(event: Event) => set(at, { name: (event.target as HTMLInputElement).value })} /></label>
          <label class="field"><span>Head, or blank</span><input inputmode="numeric" size="6" autocomplete="off" .value=${place.head} @input=${(event: Event) => set(at, { head: (event.target as HTMLInputElement).value })} /></label>
          ${this.places.length > 2 ? html`<button type="button" class="quiet" aria-label=${`Take away place ${at + 1}`} @click=${() => { this.places = this.places.filter((_, index) => index !== at); this.requestUpdate(); }}>Take away</button>` : nothing}
        </div>`)}
        <button type="button" @click=${() => { this.places = [...this.places, { name: '', head: '' }]; this.requestUpdate(); }}>Add a place</button>
        <p class="soft">Blank shares equally what the others leave. How many head a place holds is yours to judge.</p>
      </fieldset>
      <div class="trial-seed"><label class="field"><span>Seed</span><input inputmode="numeric" size="12" autocomplete="off" .value=${this.seed} @input=${(event: Event) => { this.seed = (event.target as HTMLInputElement).value; }} /></label>
      <button class="primary" ?disabled=${this.underWay !== ''}>Draw</button>
      <p class="soft">The same seed gives the same lists. Choose it before you look, draw once, and keep to the lists.</p></div>
    </form>`;
  }

  private request(): TrialRequest | string {
    const places = this.places.filter((place) => place.name.trim() !== '' || place.head.trim() !== '');
    const whole = (text: string): number => (/^\d+$/.test(text.trim()) ? Number(text.trim()) : NaN);
    const wrong = places.find((place) => place.head.trim() !== '' && !(whole(place.head) >= 1 && whole(place.head) <= LARGEST_SEED));
    if (wrong !== undefined) return `"${wrong.head.trim()}" is no number of head. Type a whole number, or leave it blank.`;
    const seed = whole(this.seed);
    if (!(seed <= LARGEST_SEED)) return 'The seed is a whole number of at most nine digits. Type one, such as 2027.';
    return { places: places.map((place) => (place.head.trim() === '' ? { name: place.name, head: undefined } : { name: place.name, head: whole(place.head) })), seed, today: today() };
  }

  private async draw(standing: string): Promise<void> {
    const request = this.request();
    this.failure = typeof request === 'string' ? request : '';
    if (typeof request !== 'string') {
      try {
        this.drawn = { view: await this.app.engine.ask('planTrial', { request }), request, standing };
      } catch (cause) {
        this.failure = words(cause);
      }
    }
    if (this.failure !== '') this.drawn = undefined;
    this.requestUpdate();
  }

  private result(view: TrialView, request: TrialRequest): TemplateResult {
    const n = view.lists.reduce((sum, list) => sum + list.cows.length, 0);
    const aside = view.setAside.map((one) => `${one.n.toLocaleString('en-US')} ${one.text}`).join(', ');
    const places = view.lists.filter((list) => list.name !== '').map((list) => list.name);
    return html`
      <p class="lead" role="status">${counted(n, 'cow')} drawn${view.asOf === '' ? '' : `, on hand as of ${dayInWords(view.asOf)}`}: ${view.lists.map((list) => `${list.cows.length.toLocaleString('en-US')} ${list.name === '' ? 'left over' : `to ${list.name}`}`).join(', ')}.${aside === '' ? '' : ` Not drawn: ${aside}.`}</p>
      <div class="row acts"><button type="button" @click=${() => print()}>Print the lists</button>
        <button type="button" @click=${() => this.during('Writing the lists.', async () => download(fileName(`${this.app.state?.title ?? ''} trial`, '.csv'), await this.app.engine.ask('trialList', { request }), 'text/csv'))}>Save the lists (CSV)</button></div>
      <div class="cautions"><h2>Mind this</h2><ul>${view.cautions.map((caution) => html`<li>${caution}</li>`)}</ul></div>
      <section aria-labelledby="trial-balance"><h2 id="trial-balance">How alike the places are, before and after</h2>
        <p class="soft">Apart: the largest difference between two of the places, in standard deviations. Under 0.25 is little. Before: as the cows stand now. What the calves weighed so far was not shared out; it shows what chance did.</p>
        <div class="table-frame" tabindex="0" role="group" aria-labelledby="trial-balance"><table>
          <thead><tr><th scope="col">What</th>${places.map((name) => html`<th scope="col" class="number">${name}</th>`)}<th scope="col" class="number">Apart before</th><th scope="col" class="number">Apart after</th></tr></thead>
          <tbody>${view.balance.map((line) => html`<tr><th scope="row">${line.words}</th>${line.texts.map((text) => html`<td class="number">${text}</td>`)}<td class="number">${line.beforeText}</td><td class="number">${line.afterText}${line.large ? ' (mind)' : ''}</td></tr>`)}</tbody>
        </table></div></section>
      ${view.lists.map((list, at) => this.list(list, at))}
      <details class="trial-kinds"><summary>The kinds that were shared out (${view.kinds.length.toLocaleString('en-US')})</summary>
        <div class="table-frame" tabindex="0" role="region" aria-label="The kinds that were shared out"><table>
          <thead><tr><th scope="col">Age class</th><th scope="col">Bulls</th><th scope="col">Expected to calve</th>${view.lists.map((list) => html`<th scope="col" class="number">${list.name === '' ? 'left over' : list.name}</th>`)}</tr></thead>
          <tbody>${view.kinds.map((kind) => html`<tr>${kind.words.map((text) => html`<td>${text}</td>`)}${kind.perPlace.map((count) => html`<td class="number">${count}</td>`)}</tr>`)}</tbody>
        </table></div></details>
      <section aria-labelledby="trial-method"><h2 id="trial-method">How this was made</h2><p>${view.method}</p></section>`;
  }

  private list(list: TrialListInfo, at: number): TemplateResult {
    const id = `trial-list-${at}`;
    return html`<section class="trial-list" aria-labelledby=${id}><h2 id=${id}>${list.name === '' ? 'Left over' : list.name}: ${counted(list.cows.length, 'cow')}</h2>
      <div class="table-frame" tabindex="0" role="group" aria-labelledby=${id}><table>
        <thead><tr><th scope="col">Cow</th><th scope="col">Age class</th><th scope="col">Bulls</th><th scope="col">Expected to calve</th><th scope="col">Now in</th><th scope="col" class="to-fill">Moved on</th></tr></thead>
        <tbody>${list.cows.map((cow) => html`<tr><th scope="row"><a href=${format(route('sheet', 'cows', cow.rowKey, 'tag'))}>${cow.tag === '' ? 'no tag' : cow.tag}</a></th><td>${cow.ageClass}</td><td>${cow.bulls}</td><td title=${cow.dueFrom}>${cow.due}</td><td>${cow.nowIn}</td><td class="to-fill"></td></tr>`)}</tbody>
      </table></div></section>`;
  }
}

customElements.define('fp-trial', Trial);
