/**
 * Contemporary groups: which calves can fairly stand against each other, and why.
 *
 * Enters: the groups. Leaves: links to calves.
 * Always true: every group says what made it; calves without a group are counted with the reason.
 * Never: hides a group of one.
 */
import { html, nothing, type TemplateResult } from 'lit';
import '../../charts/figure.ts';
import { markAt } from '../../charts/group-marks.ts';
import { MOST_ROWS, spreads } from '../../charts/weights.ts';
import type { GroupInfo, GroupsView } from '../../engine/generated/core.js';
import { format, route } from '../route.ts';
import { Answer, counted, View, waiting } from '../view.ts';
import { whole } from '../whole.ts';

const MARKS: Record<string, string> = { circle: '●', triangle: '▲', square: '■', diamond: '◆', star: '★', cross: '✚', wye: 'Y', hexagon: '⬢' };

export class Groups extends View {
  private readonly groups = new Answer<GroupsView>(this);
  private picture: { view: GroupsView; made: ReturnType<typeof spreads> } | undefined;

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const view = this.groups.follow(`${this.app.standing} ${state.revision}`, () => this.app.groups());
    return html`<div class="answer"><h1>Groups</h1>${view === undefined ? waiting(this.groups, 'the groups') : this.content(view)}</div>`;
  }

  private content(view: GroupsView): TemplateResult {
    if (this.picture?.view !== view) this.picture = { view, made: spreads(view) };
    const { drawing, table } = this.picture.made;
    return html`
      <p class="lead sentence">${whole(view.sentence)}</p>
      ${view.groups.length === 0 ? html`<div class="empty"><p>There is no group yet. <a href="#calves">Calves</a> need a sex, a birth date, a weaning date and a weight.</p></div>`
        : html`<fp-figure .heading=${'Sizes and spreads of the groups'} .reading=${`Thin line: lightest to heaviest. Thick bar: one standard deviation around the mean. Upright line: mean.${view.groups.length > MOST_ROWS ? ` The ${MOST_ROWS} largest of ${view.groups.length} groups are drawn; the table holds all.` : ''}`} .drawing=${drawing} .table=${table}></fp-figure>
        <section aria-labelledby="groups-table"><h2 id="groups-table">Each group</h2>
          ${view.groups.map((group, index) => this.group(group, index, view.unit))}</section>`}
      ${view.leftOut.length === 0 ? nothing : html`<section aria-labelledby="without"><h2 id="without">Calves without a group</h2>
        <ul>${view.leftOut.map((reason) => html`<li>${counted(reason.n, 'calf', 'calves')}: ${reason.text}</li>`)}</ul></section>`}
      <section aria-labelledby="groups-rule"><h2 id="groups-rule">How groups are formed</h2>
        <ul>${view.rule.map((sentence) => html`<li>${sentence}</li>`)}</ul>
        <p class="soft">The windows can be changed in <a href="#settings">Settings</a>.</p></section>`;
  }

  private group(group: GroupInfo, index: number, unit: string): TemplateResult {
    const { colour, symbol } = markAt(index);
    return html`<details class="group" ?open=${this.app.route.what === group.name}>
      <summary><span class="mark" style="color:${colour}" aria-hidden="true">${MARKS[symbol] ?? '●'}</span>
        <strong class="grow">${whole(group.name)}</strong>
        <span>${counted(group.n, 'calf', 'calves')}</span>
        <span>mean ${group.meanText}${group.sdText === '' ? '' : `, sd ${group.sdText}`}</span>
        ${group.flags.length > 0 ? html`<span class="attention">${counted(group.flags.length, 'thing')} to mind</span>` : nothing}</summary>
      <dl class="facts">
        ${group.parts.map((part) => html`<div><dt>${part.key.replace(/_/g, ' ')}</dt><dd>${part.words}</dd></div>`)}
        <div><dt>born</dt><dd>${group.births}</dd></div><div><dt>weighed</dt><dd>${group.weighings}</dd></div>
        <div><dt>sires</dt><dd>${group.nSires}</dd></div>
      </dl>
      ${group.flags.length > 0 ? html`<ul class="flags">${group.flags.map((flag) => html`<li>${flag}</li>`)}</ul>` : nothing}
      <p class="tags">${group.tags.map((tag, at) => html`<a href=${format(route('fair', '', group.rowKeys[at] ?? null, 'adj_205_weight'))} title="${(group.weights[at] ?? 0).toFixed(1)} ${unit}">${tag === '' ? 'no tag' : tag}</a> `)}</p>
    </details>`;
  }
}

customElements.define('fp-groups', Groups);
