/**
 * Hand over: what goes, what stays home, and the one file.
 *
 * Enters: columns, calves, groups, a comparison, a message. Leaves: a results file, CSV files, a copy of the book.
 * Always true: what goes and what stays is listed before the file is made.
 * Never: sends anything; the file is saved on this device and the person hands it on.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ComparableColumn, CompareRequest, HandOverPreview, HandOverRequest } from '../../engine/generated/core.js';
import { today } from '../days.ts';
import { saveCopy } from '../save-copy.ts';
import { Answer, counted, download, fileName, View, waiting } from '../view.ts';
import { resultsTemplate } from '../../embed/results-template.ts';
import { preview as previewOf } from './preview.ts';

const CSV: readonly { table: string; label: string; file: string }[] = [
  { table: 'adjusted', label: 'Fair weights', file: '-adjusted.csv' },
  { table: 'groups', label: 'Groups', file: '-groups.csv' },
  { table: 'problems', label: 'Problems', file: '-problems.csv' },
];

export class HandOver extends View {
  private columns: string[] | undefined;
  private shownOnly = false;
  private shownKeys: number[] | undefined;
  private groups = true;
  private compare: CompareRequest | undefined;
  private message = '';
  private made: { name: string; size: number; text: string } | undefined;
  /** On a narrow page the long lists are folded, so that the button is in reach. */
  private readonly wide = innerWidth > 860;
  private readonly preview = new Answer<HandOverPreview>(this);
  private readonly comparable = new Answer<ComparableColumn[]>(this);

  private request(): HandOverRequest {
    return {
      columns: this.columns ?? [],
      rowKeys: this.shownOnly ? this.shownKeys : undefined,
      groups: this.groups,
      compare: this.compare,
      message: this.message,
      madeOn: today(),
    };
  }

  protected override willUpdate(): void {
    this.compare ??= this.compareChosen ? undefined : this.app.lastComparison;
  }
  private compareChosen = false;

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const request = this.request();
    const shown = this.preview.follow(`${this.app.standing} ${state.revision} ${JSON.stringify({ ...request, message: '' })}`, async () => {
      const answer = await this.app.engine.askLatest('preview', 'handOverPreview', { request });
      if (this.columns === undefined) {
        this.columns = answer.columns.filter((column) => column.usual).map((column) => column.key);
        return this.app.engine.askLatest('preview', 'handOverPreview', { request: this.request() });
      }
      return answer;
    });
    return html`<div class="answer hand-over"><h1>Hand over</h1>
      <p class="lead">One file that opens in any browser, without a network and without this program. Nothing is sent: the file is saved here and you hand it on.</p>
      ${shown === undefined ? waiting(this.preview, 'what would go') : this.content(shown)}
      ${shown === undefined && this.preview.failure === '' ? nothing : this.others()}
    </div>`;
  }

  private others(): TemplateResult {
    return html`<section aria-labelledby="csv"><h2 id="csv">Tables for other programs</h2>
        <div class="row">${CSV.map(({ table, label, file }) => html`<button type="button" @click=${() => this.csv(table, file)}>${label} as CSV</button>`)}</div></section>
      <section aria-labelledby="copy"><h2 id="copy">A copy of the whole book</h2>
        <p>Everything in this book, private columns too, as one ZIP file with plain tables inside. Bring it in again here at any time.</p>
        <div class="row"><button type="button" @click=${this.copy}>Save a copy</button></div></section>`;
  }

  private content(shown: HandOverPreview): TemplateResult {
    const chosen = new Set(this.columns ?? []);
    return html`<div class="two">
      <form @submit=${this.make}>
        <details class="fold columns-choice" ?open=${this.wide}><summary><strong>Columns</strong> <span class="soft">${chosen.size} of ${shown.columns.length} go</span></summary><fieldset><legend class="unseen">Columns</legend>
          <div class="row"><button type="button" class="quiet" @click=${() => this.choose(shown.columns.filter((column) => column.usual).map((column) => column.key))}>The usual ones</button>
            <button type="button" class="quiet" @click=${() => this.choose(shown.columns.map((column) => column.key))}>All</button></div>
          <div class="choices">${shown.columns.map((column) => html`<label class="choice"><input type="checkbox" .checked=${chosen.has(column.key)}
            @change=${(event: Event) => this.toggle(shown, column.key, (event.target as HTMLInputElement).checked)} /> ${column.label}</label>`)}</div></fieldset></details>
        <fieldset><legend>Calves</legend>
          <label class="choice"><input type="radio" name="calves" .checked=${!this.shownOnly} @change=${() => this.chooseShown(false)} /> All</label>
          <label class="choice"><input type="radio" name="calves" .checked=${this.shownOnly} ?disabled=${!this.app.filtered && !this.shownOnly} @change=${() => this.chooseShown(true)} />
            Only those shown by the filter ${this.app.filtered ? nothing : html`<span class="soft">(no filter is set on Calves)</span>`}</label></fieldset>
        <fieldset><legend>Beside the calves</legend>
          <label class="choice"><input type="checkbox" .checked=${this.groups} @change=${(event: Event) => { this.groups = (event.target as HTMLInputElement).checked; this.requestUpdate(); }} /> The groups</label>
          ${this.comparisonChoice()}</fieldset>
        <label class="field"><span>A line from the ranch, shown on top (may be blank)</span>
          <input .value=${this.message} maxlength="300" autocomplete="off" @change=${(event: Event) => { this.message = (event.target as HTMLInputElement).value; this.requestUpdate(); }} /></label>
        <div class="row"><button class="primary" ?disabled=${this.underWay !== '' || chosen.size === 0}>Make the file</button><span role="status" class="soft">${this.underWay}</span></div>
        ${this.madeNote()}
      </form>
      <section class="going" aria-labelledby="going"><h2 id="going">What goes, what stays</h2>
        <p><strong>${counted(shown.nCalves, 'calf', 'calves')}</strong> and <strong>${counted(chosen.size, 'column')}</strong> go${this.groups ? ', with the groups' : ''}${this.compare === undefined ? '' : ', with the comparison'}.</p>
        <p>Whoever opens the file can have it work the figures out again: ${counted(shown.recomputed, 'figure')} from the records inside,
          ${shown.fromTotals.toLocaleString('en-US')} from the group totals inside, ${shown.stated.toLocaleString('en-US')} stated only, because what they rest on stays home.
          That proves the arithmetic, not the weights.</p>
        <h3>Stays home</h3>
        <ul>${shown.staysHome.map((sentence) => html`<li>${sentence}</li>`)}</ul>
        <details class="fold" ?open=${this.wide}><summary><strong>The first rows, as they go</strong></summary>
          <fp-hand-over-rows .keys=${this.columns ?? []} .rowKeys=${this.shownOnly ? this.shownKeys : undefined}></fp-hand-over-rows></details>
      </section></div>`;
  }

  private comparisonChoice(): TemplateResult | typeof nothing {
    const { state } = this.app;
    const columns = this.comparable.follow(`${this.app.standing} ${state?.revision ?? 0}`, () => this.app.comparable());
    if (columns?.length === 0) return nothing;
    const last = this.app.lastComparison;
    return html`<label class="field"><span>A comparison</span><select ?disabled=${columns === undefined} @change=${(event: Event) => this.chooseComparison((event.target as HTMLSelectElement).value)}>
      <option value="" ?selected=${this.compare === undefined}>None</option>
      ${(columns ?? []).map((column) => html`<option value=${column.key} ?selected=${this.compare?.column === column.key}>${column.label}${column.key === last?.column ? ', as last compared' : ''}</option>`)}</select></label>`;
  }

  private chooseComparison(column: string): void {
    this.compareChosen = true;
    const last = this.app.lastComparison;
    this.compare = column === '' ? undefined : column === last?.column ? last : { column, levels: [], seasons: [], hold: [] };
    this.chosenAnew();
  }

  private madeNote(): TemplateResult | typeof nothing {
    const { made } = this;
    if (made === undefined) return nothing;
    return html`<div class="made" role="status"><p><strong>${made.name}</strong>, ${Math.max(1, Math.round(made.size / 1000)).toLocaleString('en-US')} kB, was saved with your downloads. Open it to see what the other side sees.</p>
      <button type="button" @click=${() => download(made.name, made.text, 'text/html')}>Save it again</button>
      <details><summary>Preview, as it reads with scripts off</summary>${previewOf(made.text)}</details></div>`;
  }

  private choose(columns: string[]): void {
    this.columns = columns;
    this.chosenAnew();
  }
  private toggle(shown: HandOverPreview, key: string, on: boolean): void {
    const chosen = new Set(this.columns ?? []);
    if (on) chosen.add(key);
    else chosen.delete(key);
    this.choose(shown.columns.map((column) => column.key).filter((column) => chosen.has(column)));
  }
  private chooseShown(only: boolean): void {
    this.shownOnly = only;
    if (only && this.shownKeys === undefined) {
      void this.keysShown().then((keys) => { this.shownKeys = keys; this.chosenAnew(); }, (cause) => this.app.trouble(cause));
    } else {
      this.chosenAnew();
    }
  }
  private async keysShown(): Promise<number[]> {
    const { rowKeys } = await this.app.engine.ask('window', { sheet: 'calves', first: 0, nRows: 0xffff_ffff, columns: [] });
    return [...rowKeys];
  }
  private chosenAnew(): void {
    this.made = undefined;
    this.requestUpdate();
  }

  private readonly make = (event: Event): void => {
    event.preventDefault();
    void this.during('Making the file.', async () => {
      const { engine, state } = this.app;
      if (state === undefined) return;
      const text = await engine.ask('resultsFile', { template: await resultsTemplate(), request: this.request() });
      const name = fileName(state.title, '-results.html');
      download(name, text, 'text/html');
      this.made = { name, size: new Blob([text]).size, text };
    });
  };

  private readonly copy = (): void => {
    void this.during('Saving a copy.', saveCopy);
  };

  private csv(table: string, end: string): void {
    void this.during('Writing the table.', async () => {
      const text = await this.app.engine.ask('csv', { table });
      download(fileName(this.app.state?.title ?? 'book', end), text, 'text/csv');
      this.app.tell('The table was saved with your downloads.');
    });
  }
}

customElements.define('fp-hand-over', HandOver);
