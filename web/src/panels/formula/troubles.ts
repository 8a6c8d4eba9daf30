/**
 * What is wrong or doubtful in a formula, under its text and in a list.
 *
 * Enters: a text and what the engine finds in it. Leaves: a marked copy of the text, and sentences with their place.
 * Always true: colour is never the only sign; a place can be reached with the keyboard.
 * Never: marks a text with the findings of another.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { FormulaCheck, FormulaTrouble } from '../../engine/generated/core.js';

/** The text once more, unseen, with lines under the places; it lies beneath the field and gives it its height. */
export function marked(text: string, troubles: readonly FormulaTrouble[]): TemplateResult {
  const parts: (string | TemplateResult)[] = [];
  let at = 0;
  for (const { start, end, error } of [...troubles].sort((a, b) => a.start - b.start)) {
    const from = Math.max(start, at);
    // What is missing has no width of its own; a space stands for it.
    const under = from >= text.length && start >= at ? '\u00a0' : text.slice(from, Math.max(end, from + 1));
    if (from < at || under === '') continue;
    parts.push(text.slice(at, from), html`<span class=${error ? 'formula-wrong' : 'formula-doubtful'}>${under}</span>`);
    at = Math.max(at, Math.min(text.length, Math.max(end, from + 1)));
  }
  return html`<div class="formula-under formula-code" aria-hidden="true">${parts}${text.slice(at)}<br /></div>`;
}

const GIVES: Record<string, string> = {
  number: 'Gives a number.', date: 'Gives a date.', text: 'Gives a text.', logical: 'Gives TRUE or FALSE.', mixed: 'Gives numbers in some rows and texts in others.',
};

export function findings(text: string, check: FormulaCheck, show: (start: number, end: number) => void): TemplateResult {
  const { troubles, usable, gives } = check;
  return html`${usable ? html`<p class="formula-fine">This formula can be used. ${GIVES[gives] ?? ''}</p>` : nothing}
    ${troubles.length === 0 ? nothing : html`<ul class="plain formula-troubles">${troubles.map(({ error, start, end, message, hint }) => html`<li class=${error ? 'formula-error' : 'formula-remark'}>
      <strong>${error ? 'To mend:' : 'To mind:'}</strong> ${message} ${hint}
      <button type="button" class="quiet" @click=${() => show(start, end)}>${place(text, start, end)}</button></li>`)}</ul>`}`;
}

function place(text: string, start: number, end: number): string {
  const there = text.slice(start, Math.min(end, start + 40));
  return there.trim() === '' ? `Show character ${start + 1}` : `Show "${there}" at character ${start + 1}`;
}
