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
  private asked: { of: PairInfo; seen: SeenInfo } | undefined;
  private failure = '';

  set shown({ view, pair }: { view: ComparisonView; pair: PairInfo | undefined }) {
    this.view = view;
    this.pair = pair;
    this.requestUpdate();
  }

  protected override render(): TemplateResult | typeof nothing {
    const { view, pair } = this;
    if (view === undefined || pair === undefined) return nothing;
    const could = view.couldSee.find((one) => one.first === pair.first && one.second === pair.second);
    if (could === undefined) return nothing;
    const own = this.asked?.of === pair ? [this.asked.seen] : [];
    return html`<section aria-labelledby="could-see"><h2 id="could-see">Could these records have seen it?</h2>
      <p>${could.sentence}</p>
      ${could.at.length === 0 ? nothing : html`
        <div class="table-frame" tabindex="0" role="group" aria-labelledby="could-see"><table>
          <thead><tr><th scope="col">A true difference of</th><th scope="col" class="number">would show</th><th scope="col" class="number">To show eight times in ten</th></tr></thead>
          <tbody>${[...could.at, ...own].map((seen) => html`<tr><th scope="row">${seen.differenceText}</th><td class="number">${seen.chanceText}</td><td class="number">${seen.neededText}</td></tr>`)}</tbody>
        </table></div>
        <form class="row" @submit=${(event: Event) => { event.preventDefault(); void this.ask(pair, could); }}>
          <label class="field inline-field"><span>Another difference, ${view.unit}</span>
            <input inputmode="decimal" size="6" .value=${this.typed} @input=${(event: Event) => { this.typed = (event.target as HTMLInputElement).value; }} /></label>
          <button>Ask</button>
          ${this.failure === '' ? nothing : html`<span class="caution" role="alert">${this.failure}</span>`}
        </form>
        <p class="soft">These rest on ${could.n.toLocaleString('en-US')} ${could.units} of both groups, and on how much calves alike in all that is held equal still differ; what was found counts for nothing here. The numbers it would take are rough, and hold if more are shared out as these are. More calves in the same places tell more of these places, not of such places in general.</p>`}
    </section>`;
  }

  private async ask(pair: PairInfo, could: CouldSeeInfo): Promise<void> {
    const { difference } = pair;
    if (difference == null) return;
    this.failure = '';
    try {
      const seen = await this.app.engine.ask('couldSee', {
        request: { se: difference.se, df: difference.df, lower: difference.lower, upper: difference.upper, units: could.units, n: could.n, difference: Number(this.typed.trim().replace(',', '.')) },
      });
      this.asked = { of: pair, seen };
    } catch (cause) {
      this.failure = words(cause);
    }
    this.requestUpdate();
  }
}

customElements.define('fp-could-see', CouldSee);
