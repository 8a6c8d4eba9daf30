/**
 * The line under the sheet: what stands in the selected cells.
 *
 * Enters: the range selected, what was just done with rows. Leaves: the facts, as the engine words them,
 * and the way back of what was done.
 * Always true: one line high, whatever it says; what is missing and what cannot be read is counted apart.
 * Never: reads cells; the engine counts them where they are.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { Stale } from '../../engine/client.ts';
import type { RangeFact } from '../../engine/generated/core.js';
import type { CellRange } from '../../grid/contract.ts';
import { View } from '../view.ts';

/** Long enough that a held key asks only once it rests. */
const REST_MS = 90;

export class StatusLine extends View {
  private facts: RangeFact[] = [];
  private timer = 0;
  private said = '';
  /** The state of the book that what was said belongs to: a further change puts it away. */
  private saidAt = '';

  /** What was done with rows; one press takes it back. */
  say(sheet: string, words: string, revision: number): void {
    this.said = words;
    this.saidAt = `${sheet} ${revision}`;
    this.requestUpdate();
  }

  /** The sheet and the state of the book are these now. */
  follow(sheet: string, revision: number): void {
    if (this.said === '' || this.saidAt === `${sheet} ${revision}`) return;
    this.said = '';
    this.requestUpdate();
  }

  show(sheet: string, range: CellRange, columns: string[]): void {
    clearTimeout(this.timer);
    if (range.firstRow === range.lastRow && columns.length <= 1) {
      this.tell([]);
      return;
    }
    this.timer = window.setTimeout(() => void this.ask(sheet, range, columns), REST_MS);
  }

  private async ask(sheet: string, range: CellRange, columns: string[]): Promise<void> {
    try {
      this.tell(await this.app.engine.askLatest('facts', 'rangeFacts', { sheet, first: range.firstRow, last: range.lastRow, columns }));
    } catch (cause) {
      if (!(cause instanceof Stale)) this.app.trouble(cause);
    }
  }

  private tell(facts: RangeFact[]): void {
    if (facts.length === 0 && this.facts.length === 0) return;
    this.facts = facts;
    this.requestUpdate();
  }

  protected override render(): TemplateResult {
    return html`<div class="status-line" role="group" aria-label="Selected cells" tabindex=${this.facts.length > 0 ? '0' : nothing}>
      ${this.said === '' ? nothing : html`<span class="said">${this.said}</span><button type="button" class="quiet" @click=${() => this.dispatchEvent(new Event('undo-told'))}>Undo</button>`}
      ${this.facts.length === 0 ? (this.said !== '' ? nothing : html`<span class="soft">Select several cells to see their count, sum and mean.</span>`)
        : this.facts.map(({ key, label, value }) => html`<span class="fact" data-fact=${key}><span class="soft">${label}</span> <b>${value}</b></span>`)}
    </div>`;
  }
}

customElements.define('fp-status-line', StatusLine);
