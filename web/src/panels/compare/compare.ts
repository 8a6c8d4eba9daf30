/**
 * Compare: group against group, from raw to fair.
 *
 * Enters: a column and its levels. Leaves: a sentence, pictures, tables, cautions.
 * Always true: the work runs apart from typing, can be stopped, and says which state of the book it stands on.
 * Never: states more than the verdict of the engine.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { Ended } from '../../engine/client.ts';
import type { ComparableColumn, ComparisonView, CompareRequest, ResponseOption } from '../../engine/generated/core.js';
import { words } from '../app.ts';
import { format, route } from '../route.ts';
import { Answer, counted, View, waiting } from '../view.ts';
import { furtherChoices, USUAL, type Chosen } from './choices.ts';
import { pairOnTop, result } from './result.ts';

/** Asked first when nothing is chosen: how calves were raised, then where. */
const FIRST = ['management', 'place', 'creep', 'sire'];

/** Chosen at first; more can be ticked. */
const MOST_LEVELS = 8;

/** Held equal without asking, or one and the same with the place. */
const HELD = ['sex', 'season', 'birth_year', 'dam_age_class', 'born_as', 'raised_by', 'set_apart', 'management', 'place'];

export class Compare extends View {
  private readonly comparable = new Answer<ComparableColumn[]>(this);
  private readonly responses = new Answer<ResponseOption[]>(this);
  private levels: string[] = [];
  private levelsOf = '';
  private hold: string[] = [];
  private choices: Chosen = USUAL;
  private step = '';
  private asked = '';
  private running = false;
  private failure = '';
  private view: ComparisonView | undefined;
  private viewOf = '';
  private pair = 0;

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const columns = this.comparable.follow(`${this.app.standing} ${state.revision}`, () => this.app.comparable());
    return html`<div class="answer"><h1>Compare</h1><p class="soft">For next year: <a href=${format(route('trial'))}>Plan a fair trial</a>, with the cows put into places by lot.</p>${columns === undefined ? waiting(this.comparable, 'what can be compared') : this.content(columns)}</div>`;
  }

  private content(columns: ComparableColumn[]): TemplateResult {
    if (columns.length === 0) {
      return html`<div class="empty"><p>There is nothing to compare yet. A comparison needs a column with two or more values among weighed calves, such as the place.
        <a href="#calves">Fill one in</a>.</p></div>`;
    }
    const column = this.column(columns);
    if (this.levelsOf !== column.key) {
      this.levelsOf = column.key;
      this.levels = column.levels.filter((level) => level.text !== '').slice(0, MOST_LEVELS).map((level) => level.text);
      this.hold = [];
      this.choices = { ...this.choices, several: USUAL.several, against: USUAL.against };
      this.view = undefined;
      this.asked = '';
    }
    const first = this.asked === '';
    if (first && this.levels.length >= 2) queueMicrotask(() => void this.run(column));
    const stale = this.view !== undefined && (this.view.revision !== this.app.state?.revision || this.viewOf !== this.app.standing);
    return html`
      ${this.form(columns, column)}
      ${this.running ? html`<div class="working-on" role="status"><progress aria-label="Comparing"></progress><span>Comparing ${column.label.toLowerCase()}. Typing goes on meanwhile.</span>
        <button type="button" @click=${this.stop}>Stop</button><span class="step soft">${this.step}</span></div>` : nothing}
      ${this.failure === '' ? nothing : html`<p class="caution" role="alert">${this.failure}</p>`}
      ${stale && !this.running ? html`<div class="notice" role="status"><span>The book has changed since this was worked out.</span><button type="button" class="primary" @click=${() => this.run(column)}>Compare again</button></div>` : nothing}
      ${this.view === undefined ? nothing
        : result(this.view, column.levels.map((level) => level.text), Math.min(this.pair, this.view.pairs.length - 1), (pair) => { this.pair = pair; this.requestUpdate(); })}`;
  }

  private column(columns: ComparableColumn[]): ComparableColumn {
    const wanted = [this.app.route.what, ...FIRST];
    for (const key of wanted) {
      const found = columns.find((column) => column.key === key);
      if (found !== undefined) return found;
    }
    return columns[0] as ComparableColumn;
  }

  private form(columns: ComparableColumn[], column: ComparableColumn): TemplateResult {
    const holdable = columns.filter((one) => one.key !== column.key && !HELD.includes(one.key));
    return html`<form class="compare-form" @submit=${(event: Event) => { event.preventDefault(); void this.run(column); }}>
      <label class="field"><span>Compare by</span><select @change=${(event: Event) => this.app.go(route('compare', (event.target as HTMLSelectElement).value))}>
        ${columns.map((one) => html`<option value=${one.key} ?selected=${one.key === column.key}>${one.label}</option>`)}</select></label>
      <fieldset class="levels"><legend>Which</legend>${column.levels.map((level) => html`<label class="choice"><input type="checkbox" .checked=${this.levels.includes(level.text)}
        @change=${(event: Event) => this.toggle(level.text, (event.target as HTMLInputElement).checked)} /> ${level.text === '' ? 'blank' : level.text} <span class="soft">${counted(level.n, 'calf', 'calves')}</span></label>`)}</fieldset>
      ${holdable.length === 0 ? nothing : html`<fieldset class="levels hold"><legend>Also hold equal</legend>${holdable.map((one) => html`<label class="choice"><input type="checkbox" .checked=${this.hold.includes(one.key)}
        @change=${(event: Event) => this.holdEqual(one.key, (event.target as HTMLInputElement).checked)} /> ${one.label}</label>`)}</fieldset>`}
      ${furtherChoices(this.choices, this.responses.follow(`${this.app.standing} ${this.app.state?.revision ?? 0}`, () => this.app.compareResponses()) ?? [], column.levels.map((level) => level.text).filter((level) => this.levels.includes(level)), (choices) => { this.choices = choices; this.requestUpdate(); })}
      <button class="primary" ?disabled=${this.levels.length < 2 || this.running}>Compare</button>
      ${this.levels.length < 2 ? html`<span class="soft">Choose two or more.</span>` : nothing}
    </form>`;
  }

  private toggle(level: string, on: boolean): void {
    this.levels = on ? [...this.levels, level] : this.levels.filter((one) => one !== level);
    if (!on && this.choices.against === level) this.choices = { ...this.choices, several: USUAL.several, against: USUAL.against };
    this.requestUpdate();
  }

  private holdEqual(key: string, on: boolean): void {
    this.hold = on ? [...this.hold, key] : this.hold.filter((one) => one !== key);
    this.requestUpdate();
  }

  private async run(column: ComparableColumn): Promise<void> {
    const { state, standing } = this.app;
    if (state === undefined) return;
    const levels = column.levels.map((level) => level.text).filter((level) => this.levels.includes(level));
    const request: CompareRequest = { column: column.key, levels, seasons: [], hold: this.hold, choices: this.choices };
    const asked = `${JSON.stringify(request)} ${state.revision} ${Date.now()}`;
    if (this.asked !== '' && this.running) return;
    this.asked = asked;
    this.running = true;
    this.failure = '';
    this.step = '';
    this.requestUpdate();
    try {
      const { view, revision } = await this.app.engine.compare(request, state.revision, (step) => { this.step = step; this.requestUpdate(); });
      if (this.asked === asked) {
        // The copy's own count of changes starts anew; the stamp is the book's.
        this.view = { ...view, revision };
        this.viewOf = standing;
        this.pair = Math.max(0, pairOnTop(view));
        this.app.lastComparison = request;
      }
    } catch (cause) {
      if (this.asked === asked) this.failure = cause instanceof Ended ? 'Stopped.' : words(cause);
    }
    if (this.asked === asked) this.running = false;
    this.requestUpdate();
  }

  private readonly stop = (): void => {
    this.app.engine.stopComparing();
  };

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    if (this.running) this.app.engine.stopComparing();
  }
}

/** The address of a comparison by this column. */
export const compareAddress = (column: string): string => format(route('compare', column));

customElements.define('fp-compare', Compare);
