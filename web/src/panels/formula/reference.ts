/**
 * The columns and functions there are, to look through and to put in.
 *
 * Enters: the columns of the sheet, all functions, a word to look for. Leaves: the text to put in.
 * Always true: every function is listed, group by group, unless the word looked for leaves it out.
 * Never: knows what a function does beyond what the engine says of it.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ColumnInfo, FormulaFunction } from '../../engine/generated/core.js';
import { counted } from '../view.ts';

const PLAIN_KEY = /^[\p{L}_][\p{L}\p{N}_]*$/u;

/** A column's key as it is written in a formula. */
export function written(key: string): string {
  return PLAIN_KEY.test(key) ? key : `$$'${key.replaceAll("'", "''")}'`;
}

const begins = (parts: readonly string[], word: string): boolean => parts.some((part) => part.toLowerCase().includes(word));

export interface Reference {
  columns: readonly ColumnInfo[];
  functions: readonly FormulaFunction[];
  word: string;
  lookFor(word: string): void;
  put(text: string): void;
}

/** What was just unfolded is brought into sight. */
const broughtUp = (event: Event): void => {
  const details = event.target as HTMLDetailsElement;
  if (details.open) details.scrollIntoView({ block: 'start' });
};

export function reference(of: Reference): TemplateResult {
  const word = of.word.trim().toLowerCase();
  const columns = of.columns.filter(({ key, label }) => begins([key, label], word));
  const functions = of.functions.filter(({ name, help, group }) => begins([name, help, group], word));
  const groups = [...new Set(functions.map(({ group }) => group))];
  return html`<details class="formula-all" @toggle=${broughtUp}><summary>All columns and functions (${of.functions.length} functions)</summary>
    <label class="field"><span>Look for</span><input type="search" autocomplete="off" spellcheck="false" .value=${of.word} @input=${(event: Event) => of.lookFor((event.target as HTMLInputElement).value)} /></label>
    <p class="soft" role="status">${word === '' ? 'Choose one to put it in at the cursor.' : `${counted(columns.length, 'column')} and ${counted(functions.length, 'function')} fit.`}</p>
    ${columns.length === 0 ? nothing : html`<h3>Columns of this sheet</h3><ul class="plain formula-entries">${columns.map(({ key, label, unit }) => html`<li>
      <button type="button" class="quiet formula-code" @click=${() => of.put(written(key))}>${written(key)}</button>
      <span>${label}${unit === '' || label.endsWith(`(${unit})`) ? '' : ` (${unit})`}</span></li>`)}</ul>`}
    ${groups.map((group) => html`<h3>${group}</h3><ul class="plain formula-entries">${functions.filter((one) => one.group === group).map((one) => html`<li>
      <button type="button" class="quiet formula-code" @click=${() => of.put(one.parameters.length === 0 ? `${one.name}()` : `${one.name}(`)}>${one.signature}</button>
      <span>${one.help}</span></li>`)}</ul>`)}
  </details>`;
}

/** The function whose arguments are being typed, with the one at the cursor in bold. */
export function about(one: FormulaFunction, argument: number): TemplateResult {
  return html`<section class="formula-about" aria-label="The function at the cursor">
    <p class="formula-code">${one.name}(${one.parameters.map(({ name, optional }, index) => html`${index === 0 ? '' : '; '}${index === argument ? html`<strong>${name}</strong>` : name}${optional ? '?' : ''}`)}${one.repeats > 0 ? '; ...' : ''})</p>
    <p>${one.help}</p>
    <p class="soft">Example: <span class="formula-code">${one.example}</span><br />OpenFormula 1.3, part 4, section ${one.section}</p></section>`;
}
