/**
 * The line under the sheet: what stands in the selected cells.
 *
 * Enters: the range selected. Leaves: its facts, as the engine words them.
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
      ${this.facts.length === 0 ? html`<span class="soft">Select several cells to see their count, sum and mean.</span>`
        : this.facts.map(({ key, label, value }) => html`<span class="fact" data-fact=${key}><span class="soft">${label}</span> <b>${value}</b></span>`)}
    </div>`;
  }
}

customElements.define('fp-status-line', StatusLine);
