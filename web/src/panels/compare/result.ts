/**
 * A comparison on the page: sentence, pictures, tables, cautions, method, in this order.
 *
 * Enters: a comparison as the engine gives it. Leaves: markup.
 * Always true: the sentence stands first and the cautions right under it.
 * Never: rounds or works out a number itself.
 */
import { html, nothing, type TemplateResult } from 'lit';
import '../../charts/figure.ts';
import { balance, MOST_BALANCE_ROWS, levelHead, levels, steps } from '../../charts/comparison.ts';
import type { ComparisonView, PairInfo } from '../../engine/generated/core.js';
import { counted } from '../view.ts';
import { likeWithLike } from './beside.ts';
import { randomTable, withinTable } from './model.ts';

/** Units of weights: only of these can a difference be asked about by number. */
const WEIGHTS = ['lb', 'kg'];

const VERDICTS: Record<string, string> = {
  differs: 'They differ', not_shown: 'No difference shown', cannot_separate: 'Cannot be separated', too_few: 'Too few calves',
};

/** The verdicts stand on top and in the table; the picture is read without saying one again. */
const STEPS_READING = 'Each line takes one more thing into account; the last is the fair difference. Bars that reach the upright line may be no difference at all.';

interface Pictures { steps: ReturnType<typeof steps> | undefined; levels: ReturnType<typeof levels>; balance: ReturnType<typeof balance> }
let drawn: { view: ComparisonView; pair: number; pictures: Pictures } | undefined;

function pictures(view: ComparisonView, order: readonly string[], index: number): Pictures {
  if (drawn?.view === view && drawn.pair === index) return drawn.pictures;
  const pair = view.pairs[index];
  const made: Pictures = { steps: pair === undefined ? undefined : steps(view, pair), levels: levels(view, order), balance: balance(view) };
  drawn = { view, pair: index, pictures: made };
  return made;
}

export function result(view: ComparisonView, order: readonly string[], index: number, choosePair: (pair: number) => void): TemplateResult {
  const made = pictures(view, order, index);
  const pair = view.pairs[index];
  return html`
    <p class="lead sentence" role="status">${view.sentence}</p>
    <p class="soft">${counted(view.nUsed, 'calf', 'calves')} used${leftOut(view)}.</p>
    ${view.cautions.length > 0 ? html`<div class="cautions"><h2>Mind this</h2><ul>${view.cautions.map((caution) => html`<li>${caution}</li>`)}</ul></div>` : nothing}
    ${pair === undefined || made.steps === undefined ? nothing : html`
      <fp-figure .heading=${'From raw to fair, step by step'} .reading=${STEPS_READING} .drawing=${made.steps.drawing} .table=${made.steps.table}
        .extra=${view.pairs.length > 1 ? pairChoice(view, index, choosePair) : nothing}></fp-figure>`}
    ${likeWithLike(view, pair)}
    ${WEIGHTS.includes(view.unit) ? html`<fp-could-see .shown=${{ view, pair }}></fp-could-see>` : nothing}
    <fp-figure .heading=${`${view.model.marks} by ${view.columnLabel.toLowerCase()}`} .reading=${`One mark per calf.${view.model.hasPublishedStep ? ' Open circle: mean adjusted by published factors.' : ''} Upright line with its level line: mean made fair by the model, with where it likely lies; it counts every sex, dam age and kind of birth alike, so it may stand apart from the marks.`}
      .drawing=${made.levels.drawing} .table=${made.levels.table}></fp-figure>
    ${view.balance.length === 0 ? nothing : html`<fp-figure .heading=${'What else differs between them'} .reading=${`Bars past the broken line differ enough to mind: these calves were not alike to begin with.${view.balance.length > MOST_BALANCE_ROWS ? ` The ${MOST_BALANCE_ROWS} largest of ${view.balance.length} are drawn; the table holds all.` : ''}`}
      .drawing=${made.balance.drawing} .table=${made.balance.table}></fp-figure>`}
    ${levelTable(view)}
    ${pairTable(view)}
    ${withinTable(view, (one) => pairName(view, one))}
    ${randomTable(view)}
    ${reached(view)}
    ${method(view)}`;
}

function leftOut(view: ComparisonView): string {
  const n = view.levels.reduce((sum, level) => sum + level.leftOut.reduce((some, reason) => some + reason.n, 0), 0);
  return n === 0 ? ', none left out' : `, ${n.toLocaleString('en-US')} left out (reasons in the table)`;
}

function pairName(view: ComparisonView, pair: PairInfo): string {
  return `${view.levels[pair.first]?.name ?? ''} against ${view.levels[pair.second]?.name ?? ''}`;
}

function pairChoice(view: ComparisonView, index: number, choosePair: (pair: number) => void): TemplateResult {
  return html`<label class="field inline-field"><span>Pair</span><select @change=${(event: Event) => choosePair(Number((event.target as HTMLSelectElement).value))}>
    ${view.pairs.map((pair, at) => html`<option value=${at} ?selected=${at === index}>${pairName(view, pair)}</option>`)}</select></label>`;
}

function table(heading: string, id: string, head: readonly string[], rows: readonly (readonly (string | TemplateResult)[])[], textColumns: readonly number[] = [0]): TemplateResult {
  const kind = (column: number): string => (textColumns.includes(column) ? '' : 'number');
  return html`<section aria-labelledby=${id}><h2 id=${id}>${heading}</h2>
    <div class="table-frame" tabindex="0" role="group" aria-labelledby=${id}><table>
      <thead><tr>${head.map((text, column) => html`<th scope="col" class=${kind(column)}>${text}</th>`)}</tr></thead>
      <tbody>${rows.map((row) => html`<tr>${row.map((cell, column) => column === 0 ? html`<th scope="row">${cell}</th>` : html`<td class=${kind(column)}>${cell}</td>`)}</tr>`)}</tbody>
    </table></div></section>`;
}

function levelTable(view: ComparisonView): TemplateResult {
  const rows = view.levels.map((level) => [
    level.name, level.n.toLocaleString('en-US'), level.rawMeanText, level.ageAdjustedMeanText, level.adjustedMeanText, level.lsMean?.text ?? 'cannot be said', level.lsMean?.intervalText ?? '',
    level.leftOut.map((reason) => `${reason.n}: ${reason.text}`).join('; '), level.places.join(', '),
  ]);
  return table('The levels', 'levels-table', [...levelHead(view.unit), 'Left out', 'Places'], rows, [0, 7, 8]);
}

/** The pair whose sentence the headline says; -1 if it says none. */
export function pairOnTop(view: ComparisonView): number {
  // After a colon the sentence goes on with a small letter.
  return view.pairs.findIndex((pair) => pair.sentence !== '' && view.sentence.endsWith(pair.sentence.slice(1)));
}

function pairTable(view: ComparisonView): TemplateResult {
  const several = view.pairs.length > 1;
  const onTop = view.pairs[pairOnTop(view)];
  const rows = view.pairs.map((pair) => [
    pairName(view, pair), pair.difference?.text ?? 'cannot be said', pair.difference?.intervalText ?? '', pair.difference?.pText ?? '', VERDICTS[pair.verdict] ?? pair.verdict,
    pair.such == null ? 'cannot be said' : `${pair.such.difference.intervalText} (${pair.such.judgedBy})`,
    ...(several ? [pair === onTop ? 'As said at the top.' : pair.sentence] : []),
  ]);
  const between = view.model.severalTogether ? 'These places: likely between, all together' : 'These places: likely between';
  return table('The pairs', 'pairs-table', ['Pair', 'Difference, made fair', between, 'p', 'Verdict', 'Such places: likely between', ...(several ? ['In words'] : [])], rows, [0, 4, 5, 6]);
}

function reached(view: ComparisonView): TemplateResult | typeof nothing {
  if (view.reached.length === 0) return nothing;
  const count = (n: number): string => n.toLocaleString('en-US');
  const told = view.reached.every((one) => one.treated != null);
  const rows = view.reached.map((one) => [one.level, count(one.started), count(one.bornDead), count(one.died), count(one.soldEarly), count(one.noWeight), count(one.weighed), ...(told ? [count(one.treated ?? 0)] : []), count(one.cowsStarted), one.weanedPerCowText]);
  return table('What became of the others, as far as recorded', 'reached-table', ['Level', 'Started', 'Born dead', 'Died', 'Sold or moved early', 'No weight', 'Weighed', ...(told ? ['Treated'] : []), 'Cows started', 'Weaned per cow started'], rows);
}

function method(view: ComparisonView): TemplateResult {
  return html`<section aria-labelledby="compare-method"><h2 id="compare-method">How this was made</h2>
    <p>${view.method}</p>
    ${view.model.noSuchBecause === '' ? nothing : html`<p>Nothing can be said of such places: ${view.model.noSuchBecause}.</p>`}
    ${view.residualText === '' ? nothing : html`<p class="soft">Calves alike in all of this still differ: ${view.residualText}</p>`}
    ${view.aliased.length === 0 ? nothing : html`<ul>${view.aliased.map((sentence) => html`<li>${sentence}</li>`)}</ul>`}
    <div class="table-frame" tabindex="0" role="region" aria-label="What the model holds equal"><table><thead><tr><th scope="col">Held equal</th><th scope="col">Used</th><th scope="col">Why not</th><th scope="col">Test</th></tr></thead>
      <tbody>${view.terms.map((term) => html`<tr><th scope="row">${term.words}</th><td>${term.used ? 'yes' : 'no'}</td><td>${term.because}</td><td>${term.test}</td></tr>`)}</tbody></table></div>
  </section>`;
}
