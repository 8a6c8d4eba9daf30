/**
 * The rows of a file beside the rows of the book: what is new, what differs, what is not clear, before anything changes.
 *
 * Enters: the merge of a preview. Leaves: choices for all rows, and for single ones.
 * Always true: every row of the file is in one of the counts; a row that fits two animals, or one that was taken off,
 *   is asked about.
 * Never: decides for a row by itself.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ImportMerge, ImportMergeChoices, ImportRow } from '../../engine/generated/core.js';
import { Answer, counted, View } from '../view.ts';
import { bringing } from './bringing.ts';

/** Rows of a kind that are listed. */
const MOST_ROWS = 50;

const KINDS = [
  { kind: 'taken_off', title: 'Taken off the record before', count: (merge: ImportMerge) => merge.takenOffRows },
  { kind: 'unclear', title: 'Not clear which row they are', count: (merge: ImportMerge) => merge.unclearRows },
  { kind: 'differs', title: 'Say something else than the book', count: (merge: ImportMerge) => merge.conflictRows },
  { kind: 'fills', title: 'Fill blanks of a row in the book', count: (merge: ImportMerge) => merge.changedRows },
  { kind: 'new', title: 'New', count: (merge: ImportMerge) => merge.newRows },
  { kind: 'same', title: 'In the book already, nothing new', count: (merge: ImportMerge) => merge.sameRows },
] as const;

export class Merging extends View {
  static override properties = { merge: { attribute: false } };
  declare merge: ImportMerge;
  private readonly rows = new Map<string, Answer<ImportRow[]>>();
  private readonly open = new Set<string>(['taken_off', 'unclear', 'differs']);
  private stamp = 0;
  private seen: ImportMerge | undefined;

  protected override render(): TemplateResult {
    const { merge } = this;
    if (this.seen !== merge) {
      this.seen = merge;
      this.stamp += 1;
    }
    const { choices } = merge;
    const box = (name: 'addNew' | 'fillBlanks' | 'overwrite', label: string): TemplateResult =>
      html`<label class="choice"><input type="checkbox" name=${name} .checked=${choices[name]} ?disabled=${!choices.matchRows} @change=${(event: Event) => this.choose({ [name]: (event.target as HTMLInputElement).checked })} /> ${label}</label>`;
    return html`<section class="merge" aria-labelledby="merge-title"><h3 id="merge-title">Beside what is in the book</h3>
      <p>${merge.summary}</p>
      <fieldset><legend class="unseen">What becomes of the rows</legend>
        ${box('addNew', 'New rows come in')}
        ${box('fillBlanks', 'Blank cells of the book are filled')}
        ${box('overwrite', 'Cells of the book that differ are written over')}
        <label class="choice"><input type="checkbox" name="matchRows" .checked=${!choices.matchRows} @change=${(event: Event) => this.choose({ matchRows: !(event.target as HTMLInputElement).checked })} /> Do not look for the same animals: every row comes in as a new one</label>
      </fieldset>
      ${choices.matchRows ? KINDS.map(({ kind, title, count }) => (count(merge) === 0 ? nothing : this.kind(kind, title, count(merge)))) : nothing}
    </section>`;
  }

  private kind(kind: string, title: string, n: number): TemplateResult {
    const isOpen = this.open.has(kind);
    return html`<details class="problem-group" ?open=${isOpen} @toggle=${(event: Event) => this.toggled(kind, event)}>
      <summary><span class="problem-title">${title}</span><span class="count soft">${n.toLocaleString('en-US')}</span></summary>
      ${isOpen && kind === 'taken_off' ? this.ofAllTakenOff(n) : nothing}
      ${isOpen ? this.table(kind, n) : nothing}</details>`;
  }

  /** Nothing is chosen beforehand: until she says, these stay out. */
  private ofAllTakenOff(n: number): TemplateResult {
    const { takenOff } = this.merge.choices;
    const choice = (key: string, label: string): TemplateResult =>
      html`<label class="choice"><input type="radio" name="takenOff" value=${key} .checked=${takenOff === key} @change=${() => this.choose({ takenOff: key })} /> ${label}</label>`;
    return html`<fieldset class=${takenOff === '' ? 'question' : 'question settled'}><legend>${n === 1 ? 'This row was' : `These ${n.toLocaleString('en-US')} rows were`} taken off the record. What becomes of ${n === 1 ? 'it' : 'them'}?</legend>
      ${choice('bring_back', n === 1 ? 'Bring it back and update it, as chosen above' : 'Bring them back and update them, as chosen above')}
      ${choice('add', n === 1 ? 'Add it as a new one' : 'Add them as new ones')}
      ${choice('leave_out', n === 1 ? 'Leave it out' : 'Leave them out')}
      <p class="soft">Until you say, ${n === 1 ? 'it stays' : 'they stay'} out. Each line can be chosen for below.</p></fieldset>`;
  }

  private toggled(kind: string, event: Event): void {
    const isOpen = (event.target as HTMLDetailsElement).open;
    if (isOpen === this.open.has(kind)) return;
    if (isOpen) this.open.add(kind);
    else this.open.delete(kind);
    this.requestUpdate();
  }

  private table(kind: string, n: number): TemplateResult {
    let answer = this.rows.get(kind);
    if (answer === undefined) this.rows.set(kind, (answer = new Answer<ImportRow[]>(this)));
    const rows = answer.follow(String(this.stamp), () => this.app.engine.ask('importRows', { first: 0, n: MOST_ROWS, kind })) ?? [];
    return html`<div class="table-frame" tabindex="0" role="region" aria-label=${`Rows: ${kind}`}><table>
      <thead><tr><th scope="col">Row</th><th scope="col">Found by</th><th scope="col">In the file, beside the book</th>${kind === 'same' ? nothing : html`<th scope="col">What to do</th>`}</tr></thead>
      <tbody>${rows.map((row) => html`<tr><th scope="row">${row.name === '' ? nothing : html`<strong>${row.name}</strong><br />`}<span class="soft">line ${row.line}</span></th><td class="why">${row.because}</td><td>${this.cells(row)}</td>
        ${kind === 'same' ? nothing : html`<td>${this.rowChoice(row)}</td>`}</tr>`)}</tbody></table></div>
      ${n > rows.length && rows.length === MOST_ROWS ? html`<p class="soft">The first ${MOST_ROWS} of ${counted(n, 'row')} are listed.</p>` : nothing}`;
  }

  private cells(row: ImportRow): TemplateResult {
    const whole = row.kind === 'new' || row.kind === 'unclear' || row.kind === 'taken_off';
    const beside = row.against !== undefined || row.againstTakenOff !== undefined;
    const told = row.cells.filter((cell) => cell.state !== 'silent' && (whole || cell.state !== 'same'));
    return html`${told.map((cell) => html`<span class="merge-cell"><span class="soft">${cell.label}</span> ${cell.incoming}${
      !beside || (cell.onRecord === '' && cell.state !== 'differs') ? nothing : html` <span class="soft">(${row.againstTakenOff === undefined ? 'book' : 'taken off'}: ${cell.onRecord === '' ? 'blank' : cell.onRecord})</span>`}</span> `)}`;
  }

  private rowChoice(row: ImportRow): TemplateResult {
    const option = (value: string, label: string): TemplateResult => html`<option value=${value} ?selected=${value === this.current(row)}>${label}</option>`;
    return html`<select aria-label=${`What to do with ${row.name === '' ? '' : `${row.name}, `}line ${row.line}`} @change=${(event: Event) => this.chooseRow(row, (event.target as HTMLSelectElement).value)}>
      ${option('', row.kind === 'unclear' || (row.kind === 'taken_off' && (this.merge.choices.takenOff === '' || row.takenOff.length > 1)) ? 'leave out for now' : 'as chosen above')}
      ${row.takenOff.map((one) => {
        const which = row.takenOff.length > 1 ? ` ${one.words}` : ' it';
        return html`${option(`bring_back ${one.rowKey}`, `bring${which} back: fill blanks`)}${option(`bring_back_over ${one.rowKey}`, `bring${which} back: write over what differs`)}`;
      })}
      ${option('add', 'a new row')}${option('leave_out', 'leave it out')}
      ${row.against === undefined ? nothing : html`${option(`fill ${row.against}`, 'fill blanks only')}${option(`overwrite ${row.against}`, 'write over what differs')}`}
      ${row.candidates.filter(({ rowKey }) => rowKey !== row.against).map((one) => html`${option(`fill ${one.rowKey}`, `it is ${one.words}: fill blanks`)}${option(`overwrite ${one.rowKey}`, `it is ${one.words}: write over`)}`)}
    </select>`;
  }

  private current(row: ImportRow): string {
    const made = this.merge.choices.rows.find((one) => one.row === row.row);
    if (made === undefined) return '';
    return made.rowKey == null ? made.choice : `${made.choice} ${made.rowKey}`;
  }

  private choose(some: Partial<ImportMergeChoices>): void {
    void bringing.mergeAnew({ ...this.merge.choices, ...some });
  }

  private chooseRow(row: ImportRow, value: string): void {
    const others = this.merge.choices.rows.filter((one) => one.row !== row.row);
    const [choice = '', key] = value.split(' ');
    this.choose({ rows: choice === '' ? others : [...others, { row: row.row, choice, rowKey: key === undefined ? undefined : Number(key) }] });
  }
}

customElements.define('fp-merging', Merging);
