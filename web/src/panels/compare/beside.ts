/**
 * What stands beside the model: calves matched like with like, and what these records could have shown.
 *
 * Enters: a comparison as the engine gives it, and which pair is looked at. Leaves: two short sections.
 * Always true: a chance asked about by hand is the engine's, for the pair that is looked at.
 * Never: rounds or works out a number itself.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ComparisonView, CouldSeeInfo, PairInfo, SeenInfo } from '../../engine/generated/core.js';
import { words } from '../app.ts';
import { View } from '../view.ts';

/** The same calves without a model. */
export function likeWithLike(view: ComparisonView, pair: PairInfo | undefined): TemplateResult | typeof nothing {
  if (pair === undefined) return nothing;
  const here = view.matched.filter((one) => one.first === pair.first && one.second === pair.second);
  if (here.length === 0) return nothing;
  return html`<section aria-labelledby="like-with-like"><h2 id="like-with-like">Like with like, without a model</h2>
    <p class="soft">Only calves with a partner like them in the other group. It should come near the difference made fair${pair.difference == null ? ', which cannot be said here' : `, ${pair.difference.text}`}.</p>
    ${here.map((one) => html`<p>${one.sentence}${one.modelIsOff ? ' The model says otherwise: see what to mind, above.' : ''}</p>`)}
  </section>`;
}

/** Could these records have seen it? One of a size she types stands with the usual ones. */
export class CouldSee extends View {
  private view: ComparisonView | undefined;
  private pair: PairInfo | undefined;
  private typed = '';
  /** What she asked last, of the pair it was asked of: one answer for each way of counting. */
  private asked: { of: PairInfo; seen: (SeenInfo | undefined)[] } | undefined;
  private failure = '';

  set shown({ view, pair }: { view: ComparisonView; pair: PairInfo | undefined }) {
    this.view = view;
    this.pair = pair;
    this.requestUpdate();
  }

  protected override render(): TemplateResult | typeof nothing {
    const { view, pair } = this;
    if (view === undefined || pair === undefined) return nothing;
    const ways = view.couldSee.filter((one) => one.first === pair.first && one.second === pair.second);
    if (ways.length === 0) return nothing;
    return html`<section aria-labelledby="could-see"><h2 id="could-see">Could these records have seen it?</h2>
      ${ways.map((could, at) => this.way(could, at, pair))}
      ${ways.every((could) => could.at.length === 0) ? nothing : html`
        <form class="row" @submit=${(event: Event) => { event.preventDefault(); void this.ask(pair, ways); }}>
          <label class="field inline-field"><span>Another difference, ${view.unit}</span>
            <input inputmode="decimal" size="6" .value=${this.typed} @input=${(event: Event) => { this.typed = (event.target as HTMLInputElement).value; }} /></label>
          <button>Ask</button>
          ${this.failure === '' ? nothing : html`<span class="caution" role="alert">${this.failure}</span>`}
        </form>
        <p class="soft">These rest on ${ways.map((could) => `${could.n.toLocaleString('en-US')} ${could.units}`).join(' and ')}, and on how much calves alike in all that is held equal still differ; what was found counts for nothing here. The numbers it would take are rough, and hold if more are shared out as these are. More calves in the same places tell more of these places, not of such places in general.</p>`}
    </section>`;
  }

  private way(could: CouldSeeInfo, at: number, pair: PairInfo): TemplateResult {
    const asked = this.asked?.of === pair ? this.asked.seen[at] : undefined;
    const id = `could-see-${at}`;
    return html`<p id=${id}>${could.sentence}</p>
      ${could.at.length === 0 ? nothing : html`<div class="table-frame" tabindex="0" role="group" aria-labelledby=${id}><table>
        <thead><tr><th scope="col">A true difference of</th><th scope="col" class="number">would show</th><th scope="col" class="number">To show eight times in ten</th></tr></thead>
        <tbody>${[...could.at, ...(asked === undefined ? [] : [asked])].map((seen) => html`<tr><th scope="row">${seen.differenceText}</th><td class="number">${seen.chanceText}</td><td class="number">${seen.neededText}</td></tr>`)}</tbody>
      </table></div>`}`;
  }

  private async ask(pair: PairInfo, ways: CouldSeeInfo[]): Promise<void> {
    this.failure = '';
    const difference = Number(this.typed.trim().replace(',', '.'));
    try {
      const seen = await Promise.all(ways.map(({ asks }) => (asks == null ? undefined : this.app.engine.ask('couldSee', { request: { ...asks, difference } }))));
      this.asked = { of: pair, seen };
    } catch (cause) {
      this.failure = words(cause);
    }
    this.requestUpdate();
  }
}

customElements.define('fp-could-see', CouldSee);
