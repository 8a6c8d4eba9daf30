/**
 * The import dialog: what was understood of a file, before anything changes.
 *
 * Enters: the preview from the engine. Leaves: other targets, answers, and the word to bring it in.
 * Always true: every column of the file is listed, also those left out; where the sheet is not certain that is asked
 * alone, and nothing can come in before it is said.
 * Never: changes the book.
 */
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit';
import { live } from 'lit/directives/live.js';
import { repeat } from 'lit/directives/repeat.js';
import type { ImportChoices, ImportColumn, ImportPreview, ImportQuestion, ImportRemembered } from '../../engine/generated/core.js';
import { dayInWords } from '../days.ts';
import { problemList } from '../problem-list.ts';
import { counted, View } from '../view.ts';
import { bringing } from './bringing.ts';
import './merging.ts';
import './naming.ts';

const SEPARATORS: Record<string, string> = { comma: 'commas', semicolon: 'semicolons', tab: 'tabs' };

export class BringIn extends View {
  private readonly changed = (): void => this.requestUpdate();

  override connectedCallback(): void {
    super.connectedCallback();
    bringing.addEventListener('change', this.changed);
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback();
    bringing.removeEventListener('change', this.changed);
  }

  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog');
  }

  protected override updated(_changed: PropertyValues): void {
    const { dialog } = this;
    if (dialog === null) return;
    if (bringing.phase !== 'idle' && !dialog.open) dialog.showModal();
    if (bringing.phase === 'idle' && dialog.open) dialog.close();
    this.keepFocus(dialog);
  }

  /** An answered question goes to the answered ones; the keyboard goes with it. */
  private keepFocus(dialog: HTMLDialogElement): void {
    const { activeElement } = document;
    if (this.lastAnswered === '' || (activeElement !== document.body && activeElement !== dialog)) return;
    const chosen = [...dialog.querySelectorAll<HTMLInputElement>('input[type=radio]:checked')].find(({ name }) => name === `q-${this.lastAnswered}`);
    chosen?.focus({ preventScroll: true });
  }

  protected override render(): TemplateResult {
    return html`<dialog class="bring-in ${bringing.phase === 'looking' ? 'wide' : 'small'}" aria-labelledby="bring-in-title" @cancel=${(event: Event) => { event.preventDefault(); void bringing.cancel(); }}>
      ${bringing.phase === 'idle' ? nothing : this.content()}
    </dialog>`;
  }

  private content(): TemplateResult {
    const { phase, preview, name } = bringing;
    if (phase === 'reading') return this.reading(name);
    if (phase === 'sheets') return this.sheets(name);
    if (preview === undefined) return html``;
    if (phase === 'committing') {
      return html`<h2 id="bring-in-title">Bringing in ${counted(preview.nRows, 'row')}</h2><progress aria-label="Bringing in the rows"></progress>
        <p class="soft">Working out fair weights and groups.</p>`;
    }
    return this.looking(preview);
  }

  private reading(name: string): TemplateResult {
    const { progress } = bringing;
    return html`<h2 id="bring-in-title">Reading "${name}"</h2>
      ${progress === undefined ? html`<progress aria-label="Opening the file"></progress><p class="soft" role="status">Opening the spreadsheet. Nothing has changed yet.</p>`
        : html`<progress max=${progress.of} value=${progress.done} aria-label="Part of the file that was read"></progress>
          <p class="soft" role="status">${progress.rows.toLocaleString('en-US')} rows so far. Nothing has changed yet.</p>`}
      <div class="row end"><button type="button" @click=${() => bringing.cancel()}>Stop</button></div>`;
  }

  private sheets(name: string): TemplateResult {
    const sheets = bringing.spreadsheet?.sheets ?? [];
    const most = sheets.reduce((found, sheet) => Math.max(found, sheet.nRows), 0);
    const first = sheets.findIndex((sheet) => sheet.nRows === most);
    const known = new Set(bringing.knownParts.filter((part) => sheets.some((sheet) => sheet.name === part)));
    return html`<form class="sheets" @submit=${this.sheetsTaken}>
      <h2 id="bring-in-title">Which sheets of "${name}"?</h2>
      <p class="soft">Each is shown before anything changes.</p>
      ${bringing.failure === '' ? nothing : html`<p class="caution" role="alert">${bringing.failure}</p>`}
      <ul class="plain" role="list">${sheets.map((sheet, at) => html`<li><label class="choice"><input type="checkbox" name="sheet" value=${sheet.name} .checked=${known.size === 0 ? at === first : known.has(sheet.name)} />
        <span><strong>${sheet.name}</strong>, ${counted(sheet.nRows, 'row')}<br /><span class="soft">${sheet.firstTexts.slice(0, 6).join(', ')}</span></span></label></li>`)}</ul>
      <div class="row end"><button type="button" @click=${() => bringing.cancel()}>Cancel</button><button type="submit" class="primary">Look at them</button></div>
    </form>`;
  }

  private readonly sheetsTaken = (event: SubmitEvent): void => {
    event.preventDefault();
    const names = new FormData(event.target as HTMLFormElement).getAll('sheet').map(String);
    if (names.length > 0) void bringing.takeSheets(names);
  };

  /** Which sheet the rows are for, before anything else is said of them. */
  private whichSheet(preview: ImportPreview, question: ImportQuestion): TemplateResult {
    return html`
      <div class="dialog-head"><h2 id="bring-in-title">What is in "${preview.fileName}"?</h2></div>
      <div class="dialog-body">
        ${bringing.failure === '' ? nothing : html`<p class="caution" role="alert">${bringing.failure}</p>`}
        ${this.question(question)}
        <p><label class="choice">Another sheet <select @change=${this.sheetChosen}>
          <option value="" selected>choose</option>
          ${(this.app.state?.sheets ?? []).filter((sheet) => !question.answers.some(({ key }) => key === sheet.key)).map((sheet) => html`<option value=${sheet.key}>${sheet.label}</option>`)}
        </select></label></p>
        <h3>First cells, as they stand in the file</h3>
        ${this.examples(preview)}
      </div>
      <div class="dialog-foot row end">
        <span class="soft grow">${counted(preview.nRows, 'row')}. Nothing comes in before you say which sheet.</span>
        <button type="button" @click=${() => bringing.cancel()}>Cancel</button>
      </div>`;
  }

  private examples(preview: ImportPreview): TemplateResult {
    return html`<div class="table-frame" tabindex="0" role="region" aria-label="First cells of the file"><table>
      <thead><tr><th scope="col">In the file</th><th scope="col">First cells</th></tr></thead>
      <tbody>${preview.columns.map((column) => html`<tr><th scope="row">${column.header === '' ? html`<span class="soft">(no header)</span>` : column.header}</th>
        <td class="examples">${column.examples.filter((text) => text !== '').slice(0, 4).join(', ')}</td></tr>`)}</tbody></table></div>`;
  }

  private looking(preview: ImportPreview): TemplateResult {
    const open = preview.questions.find(({ key }) => key === 'sheet');
    if (open !== undefined) return this.whichSheet(preview, open);
    const sheetLabel = this.app.state?.sheets.find((sheet) => sheet.key === preview.sheet)?.label ?? preview.sheet;
    const unreadable = preview.columns.filter((column) => column.target !== 'leave_out' && column.nUnreadable > 0);
    const n = preview.problems.reduce((sum, group) => sum + group.n, 0) + unreadable.length;
    return html`
      <div class="dialog-head"><h2 id="bring-in-title">What was understood of "${preview.fileName}"</h2></div>
      <div class="dialog-body">
        <p class="lead">${preview.summary}</p>
        <p class="soft">${bringing.ofSpreadsheet ? nothing : html`Parted by ${SEPARATORS[preview.separator] ?? preview.separator}. `}Weights without a unit are read as ${preview.weightUnit}. The rows go to
          <label class="inline"><span class="unseen">Sheet the rows go to</span><select @change=${this.sheetChosen}>
            ${(this.app.state?.sheets ?? []).map((sheet) => html`<option value=${sheet.key} ?selected=${sheet.key === preview.sheet}>${sheet.label}</option>`)}
          </select></label>.</p>
        ${bringing.failure === '' ? nothing : html`<p class="caution" role="alert">${bringing.failure}</p>`}
        ${bringing.remarks.length === 0 ? nothing : html`<ul class="soft">${bringing.remarks.map((remark) => html`<li>${remark}</li>`)}</ul>`}
        ${preview.remembered === undefined ? nothing : this.remembered(preview.remembered)}
        ${repeat(preview.questions, ({ key }) => key, (question) => this.question(question))}
        ${this.answered(preview.answered)}
        ${preview.namesAsked === 0 ? nothing : html`<fp-naming .preview=${preview}></fp-naming>`}
        ${preview.merge === undefined ? nothing : html`<fp-merging .merge=${preview.merge}></fp-merging>`}
        <h3>Columns</h3>
        ${this.columns(preview)}
        <h3>${n === 0 ? 'No problems found' : `${counted(n, 'thing')} to look at`}</h3>
        ${n === 0 ? html`<p class="soft">Every cell could be read.</p>`
          : html`<p class="soft">Rows with problems come in too and stay marked, so that you can mend them here.</p>`}
        ${unreadable.length === 0 ? nothing : html`<ul class="unreadable">${unreadable.map((column) => html`<li>${this.unreadable(preview, column)}</li>`)}</ul>`}
        ${preview.problems.length === 0 ? nothing : problemList(preview.problems, true, () => null)}
        <h3>First rows, as they will stand</h3>
        ${this.firstRows(preview)}
      </div>
      <div class="dialog-foot row end">
        <span class="soft grow">Nothing changes before you bring it in. Afterwards one undo takes it all back.${preview.willBeRemembered ? ' The next file with these headers is then read the same way.' : nothing}</span>
        <button type="button" @click=${() => bringing.cancel()}>Cancel</button>
        <button type="button" class="primary" ?disabled=${preview.nRows === 0} @click=${() => bringing.commit()}>${preview.merge === undefined ? `Bring in ${counted(preview.nRows, 'row')} to ${sheetLabel}`
            : `Bring in to ${sheetLabel}: ${counted(preview.merge.willAdd, 'new row')}, ${counted(preview.merge.willChange, 'changed row')}${preview.merge.willBringBack === 0 ? '' : `, ${preview.merge.willBringBack.toLocaleString('en-US')} brought back`}`}</button>
      </div>`;
  }

  /** A file like this one came in before. */
  private remembered({ key, fileName, on, misfits, changed }: ImportRemembered): TemplateResult {
    return html`<section class="recalled" aria-label="Read as before">
      <p>Read as you read "${fileName}"${on === '' ? nothing : ` on ${dayInWords(on)}`}${changed ? ', with what you changed since' : nothing}.
        <button type="button" class="quiet" @click=${() => bringing.readAnew()}>Read it anew</button>
        <button type="button" class="quiet" @click=${() => bringing.forget(key)}>Forget that way</button></p>
      ${misfits.length === 0 ? nothing : html`<p>What does not fit:</p><ul>${misfits.map((misfit) => html`<li>${misfit}</li>`)}</ul>`}
    </section>`;
  }

  private unreadable(preview: ImportPreview, column: ImportColumn): string {
    const target = preview.targets.find((one) => one.key === column.target)?.words ?? column.target;
    return `${counted(column.nUnreadable, 'cell')} of "${column.header}" could not be read as "${target}". After bringing in, each is named with its line and what was read.`;
  }

  private question(question: ImportQuestion): TemplateResult {
    return this.choices(question, 'question');
  }

  /** What was asked and answered stays within reach, and asks for nothing. */
  private answered(questions: ImportQuestion[]): TemplateResult | typeof nothing {
    if (questions.length === 0) return nothing;
    return html`<section class="answered" aria-labelledby="answered-title"><h3 id="answered-title">Answered</h3>
      ${repeat(questions, ({ key }) => key, (question) => this.choices(question, 'question settled'))}</section>`;
  }

  private choices(question: ImportQuestion, look: string): TemplateResult {
    return html`<fieldset class=${look}><legend>${question.question}</legend>
      ${question.answers.map((answer) => html`<label class="choice"><input type="radio" name="q-${question.key}" value=${answer.key}
        .checked=${live(answer.key === question.current)} @change=${() => this.answer(question.key, answer.key)} /> ${answer.words}</label>`)}
      ${question.takesDay ? html`<label class="choice">Another day <input type="date" name=${`q-${question.key}-day`} @change=${(event: Event) => this.dayGiven(question.key, event)} /></label>` : nothing}
    </fieldset>`;
  }

  private lastAnswered = '';

  private answer(question: string, answer: string): void {
    this.lastAnswered = question;
    this.choose({ answers: [{ question, answer }] });
  }

  private dayGiven(question: string, event: Event): void {
    const { value } = event.target as HTMLInputElement;
    if (value !== '') this.answer(question, value);
  }

  private columns(preview: ImportPreview): TemplateResult {
    return html`<div class="table-frame" tabindex="0" role="region" aria-label="Columns of the file"><table>
      <thead><tr><th scope="col">In the file</th><th scope="col">Goes to</th><th scope="col">Why</th><th scope="col">Unit</th><th scope="col">Examples</th><th scope="col" class="number">Filled</th><th scope="col" class="number">Not readable</th></tr></thead>
      <tbody>${preview.columns.map((column, position) => this.column(preview, column, position))}</tbody></table></div>`;
  }

  private column(preview: ImportPreview, column: ImportColumn, position: number): TemplateResult {
    const unit = column.weightUnit !== '' ? column.weightUnit : column.ageUnit;
    return html`<tr class=${column.target === 'leave_out' ? 'left-out' : ''}>
      <th scope="row">${column.header === '' ? html`<span class="soft">(no header)</span>` : column.header}</th>
      <td><select aria-label=${`Where "${column.header}" goes`} @change=${(event: Event) => this.choose({ targets: [{ position, target: (event.target as HTMLSelectElement).value }] })}>
        ${preview.targets.map((target) => html`<option value=${target.key} ?selected=${target.key === column.target}>${target.words}</option>`)}
      </select></td>
      <td class="why">${column.because}</td><td>${unit}</td>
      <td class="examples">${column.examples.filter((text) => text !== '').slice(0, 3).join(', ')}</td>
      <td class="number">${column.nFilled.toLocaleString('en-US')}</td>
      <td class="number ${column.nUnreadable > 0 ? 'attention' : ''}">${column.nUnreadable.toLocaleString('en-US')}</td></tr>`;
  }

  private firstRows(preview: ImportPreview): TemplateResult {
    const shown = preview.columns.map((column, position) => ({ column, position })).filter(({ column }) => column.target !== 'leave_out');
    const label = (column: ImportColumn): string =>
      column.target === 'own' ? column.header : preview.targets.find((target) => target.key === column.target)?.words ?? column.target;
    return html`<div class="table-frame" tabindex="0" role="region" aria-label="First rows"><table>
      <thead><tr>${shown.map(({ column }) => html`<th scope="col">${label(column)}${column.shownUnit === '' ? nothing : ` (${column.shownUnit})`}</th>`)}</tr></thead>
      <tbody>${preview.firstRows.map((row) => html`<tr>${shown.map(({ position }) => html`<td>${row[position] ?? ''}</td>`)}</tr>`)}</tbody></table></div>`;
  }

  private readonly sheetChosen = (event: Event): void => {
    const { value } = event.target as HTMLSelectElement;
    if (value !== '') void bringing.chooseAnew({ targets: [], answers: [], sheet: value });
  };

  private choose(some: Partial<ImportChoices>): void {
    void bringing.chooseAnew({ targets: [], answers: [], sheet: undefined, ...some });
  }
}

customElements.define('fp-bring-in', BringIn);
