/**
 * Sentences whose dates and counts stay on one line.
 *
 * Enters: a sentence. Leaves: the same text, with `2026-10-13` and `too old (1)` kept whole where a line ends.
 * Always true: copying gives the text unchanged.
 * Never: joins more than a count with the word before it.
 */
import { html, type TemplateResult } from 'lit';

const KEPT = /(\d{4}-\d\d-\d\d|\S+ \(\d[\d,]*\)[,.;]?)/;

export function whole(text: string): TemplateResult {
  return html`${text.split(KEPT).map((part, at) => (at % 2 === 1 ? html`<span class="whole">${part}</span>` : part))}`;
}
