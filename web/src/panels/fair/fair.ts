/**
 * Fair weights: the answer first, then the picture, then the table, then how it was made.
 *
 * Enters: the book's summary, the groups, the calves. Leaves: a calf to look at, its working.
 * Always true: the numbers of the sentence are those of the table.
 * Never: leaves a calf out without saying so.
 */
import { html, nothing, type TemplateResult } from 'lit';
import '../../charts/figure.ts';
import { strip } from '../../charts/weights.ts';
import type { ColumnInfo, GroupsView } from '../../engine/generated/core.js';
import { format, route } from '../route.ts';
import '../sheet/hosted-grid.ts';
import { Answer, counted, View, waiting } from '../view.ts';
import { whole } from '../whole.ts';

const COLUMNS = ['tag', 'sex', 'dam_age_class', 'age_days', 'wean_weight', 'adj_205_weight', 'contemporary_group', 'ratio', 'rank_in_group', 'flags'];
const pick = (columns: readonly ColumnInfo[]): readonly ColumnInfo[] => COLUMNS.flatMap((key) => columns.find((column) => column.key === key) ?? []);
const FIRST = [{ column: 'ratio', descending: true }];

const HOW = 'One mark per calf. Upright line: mean of the group. Level line: one standard deviation to either side.';

/** Beyond this many calves the picture is of groups, not of single calves. */
const MOST_POINTS = 4_000;

export class Fair extends View {
  private readonly groups = new Answer<GroupsView>(this);
  private picture: { view: GroupsView; selected: number | null; made: ReturnType<typeof strip> } | undefined;
  private filters = false;

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const view = this.groups.follow(`${this.app.standing} ${state.revision}`, () => this.app.groups());
    return html`<div class="answer">
      <h1>Fair weights</h1>
      <p class="lead sentence">${whole(state.summary)}</p>
      ${view === undefined ? html`<div class="figure-room">${waiting(this.groups, 'the groups')}</div>` : this.figure(view)}
      ${view === undefined && this.groups.failure === '' ? nothing : this.everyCalf()}
      ${view === undefined ? nothing : this.method(view)}
    </div>`;
  }

  private everyCalf(): TemplateResult {
    return html`<section aria-labelledby="fair-table"><div class="row"><h2 id="fair-table">Every calf</h2><span class="grow"></span>
        <button type="button" class="quiet" aria-pressed=${String(this.filters)} @click=${() => { this.filters = !this.filters; this.requestUpdate(); }}>Filter</button></div>
        <p class="soft">Press Enter on a shaded cell, or tap it twice, to see how it was made. Weights can be typed over here too.</p>
        <fp-hosted-grid class="framed" sheet="calves" label="Fair weights, every calf" .choose=${pick} .sortFirst=${FIRST} ?filters=${this.filters}></fp-hosted-grid>
      </section>`;
  }

  private figure(view: GroupsView): TemplateResult {
    if (view.groups.length === 0) {
      return html`<div class="empty"><h2>No fair weights yet</h2>
        <p>A fair weight needs a birth date, a sex, the dam's age, a weaning date and a weaning weight.
        <a href=${format(route('sheet', 'calves'))}>Type them in</a> or bring in a file.</p>${this.leftOut(view)}</div>`;
    }
    const n = view.groups.reduce((sum, group) => sum + group.n, 0);
    const { selected } = this.app;
    if (n > MOST_POINTS) return html`<p>${counted(n, 'calf', 'calves')} are too many to draw one by one. <a href="#groups">The groups view</a> draws their sizes and spreads.</p>`;
    if (this.picture?.view !== view || this.picture.selected !== selected) this.picture = { view, selected, made: strip(view, selected) };
    const { drawing, table } = this.picture.made;
    return html`<fp-figure .heading=${'Adjusted 205-day weights by group'} .reading=${HOW} .below=${this.chosen(view, selected)} .drawing=${drawing} .table=${table}></fp-figure>
      ${this.leftOut(view)}`;
  }

  private chosen(view: GroupsView, selected: number | null): string {
    const group = selected === null ? undefined : view.groups.find((one) => one.rowKeys.includes(selected));
    if (group === undefined) return 'Choose a calf in the table to see where it stands.';
    const at = group.rowKeys.indexOf(selected ?? -1);
    return `Calf ${group.tags[at] ?? ''} is ringed: ${(group.weights[at] ?? 0).toFixed(1)} ${view.unit} in a group with a mean of ${group.meanText}.`;
  }

  private leftOut(view: GroupsView): TemplateResult | typeof nothing {
    if (view.leftOut.length === 0) return nothing;
    const n = view.leftOut.reduce((sum, reason) => sum + reason.n, 0);
    return html`<details class="left-out-list"><summary>${counted(n, 'calf has', 'calves have')} no group: why</summary>
      <ul>${view.leftOut.map((reason) => html`<li>${reason.n.toLocaleString('en-US')}: ${reason.text}</li>`)}</ul></details>`;
  }

  private method(view: GroupsView): TemplateResult {
    return html`<section aria-labelledby="fair-method"><h2 id="fair-method">How this was made</h2>
      <p>Each weaning weight is put on the footing of 205 days of age and a grown dam: gain per day from birth, times 205, plus birth weight,
      plus a published addition for the age of the dam. A ratio is 100 times the calf's own fair weight over the mean of its group, so 100 is the group's mean.</p>
      <ul>${view.rule.map((sentence) => html`<li>${sentence}</li>`)}</ul>
      <p class="soft">The age window, the standard birth weights and the grouping windows can be changed in <a href="#settings">Settings</a>.</p></section>`;
  }
}

customElements.define('fp-fair', Fair);
