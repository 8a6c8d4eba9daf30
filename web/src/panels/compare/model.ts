/**
 * What the model of a comparison is made of: cows, bulls, places, and how far each spreads.
 *
 * Enters: a comparison as the engine gives it. Leaves: markup.
 * Always true: everything that was thought of stands in the table, with why it is not used if it is not.
 * Never: rounds or works out a number itself.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ComparisonView, PairInfo } from '../../engine/generated/core.js';

export function randomTable(view: ComparisonView): TemplateResult | typeof nothing {
  const { random } = view.model;
  if (random.length === 0) return nothing;
  return html`<section aria-labelledby="random-table"><h2 id="random-table">Cows, bulls and places</h2>
    <p class="soft">Calves of one cow, or by one bull, are alike. Where the records can tell how far cows or bulls spread, the model takes it into account. About two thirds lie within one spread of the middle.</p>
    <div class="table-frame" tabindex="0" role="group" aria-labelledby="random-table"><table>
      <thead><tr><th scope="col">What</th><th scope="col" class="number">How many</th><th scope="col">In the model</th><th scope="col" class="number">Spread</th><th scope="col">Why not</th><th scope="col">Note</th></tr></thead>
      <tbody>${random.map((one) => html`<tr><th scope="row">${one.words}</th><td class="number">${one.levels.toLocaleString('en-US')}</td><td>${one.used ? 'yes' : 'no'}</td><td class="number">${one.spreadText}</td><td>${one.because}</td><td>${one.note}</td></tr>`)}</tbody></table></div>
  </section>`;
}

/** The difference within each class that was asked for. */
export function withinTable(view: ComparisonView, name: (pair: PairInfo) => string): TemplateResult | typeof nothing {
  const rows = view.pairs.flatMap((pair) => pair.within.map((within) => ({ pair: name(pair), within })));
  if (rows.length === 0) return nothing;
  return html`<section aria-labelledby="within-table"><h2 id="within-table">The difference within each class</h2>
    <p class="soft">Each by itself; with fewer calves each is less sure than the difference over all.</p>
    <div class="table-frame" tabindex="0" role="group" aria-labelledby="within-table"><table>
      <thead><tr><th scope="col">Pair</th><th scope="col">Class</th><th scope="col" class="number">Difference</th><th scope="col" class="number">Likely between</th><th scope="col" class="number">p</th></tr></thead>
      <tbody>${rows.map(({ pair, within }) => html`<tr><th scope="row">${pair}</th><td>${within.words}</td><td class="number">${within.difference?.text ?? 'cannot be said'}</td><td class="number">${within.difference?.intervalText ?? ''}</td><td class="number">${within.difference?.pText ?? ''}</td></tr>`)}</tbody></table></div>
  </section>`;
}
