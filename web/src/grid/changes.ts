/**
 * Changes on their way to the records.
 *
 * Enters: edits and new rows. Leaves: `fp-edit` and `fp-append`, and the waiting text to show meanwhile.
 * Always true: new text shows at once, becomes firm when it is acknowledged and its fresh row has arrived,
 *   and gives way to the old text when it is refused.
 * Never: keeps a change that nobody acknowledged.
 */
import type { CellEdit, EditReason, NewCell } from './contract.js';
import type { Sheet } from './sheet.js';
import { NO_LISTENER } from './words.js';

interface Waiting { text: string; ticket: number; firm: boolean }

const keyOf = (rowKey: number, column: string): string => `${rowKey}\t${column}`;

export class Changes {
  private readonly waiting = new Map<string, Waiting>();
  /** First row on its way to be added, shown on the empty row. */
  private newRow: { ticket: number; cells: Map<string, string> } | null = null;
  private ticket = 0;
  private seenRevision = -1;

  constructor(private readonly sheet: Sheet) {}

  forget(): void {
    this.waiting.clear();
    this.newRow = null;
  }

  /** Text on its way, or undefined where the records speak. */
  text(rowKey: number, column: string): string | undefined {
    return this.waiting.size === 0 ? undefined : this.waiting.get(keyOf(rowKey, column))?.text;
  }

  newText(column: string): string | undefined { return this.newRow?.cells.get(column); }

  noteRevision(revision: number): void { this.seenRevision = revision; }

  /** Resolves to true when the change was taken. */
  async send(cells: CellEdit[], rows: NewCell[][], reason: EditReason): Promise<boolean> {
    if (cells.length === 0 && rows.length === 0) return true;
    this.ticket += 1;
    const ticket = this.ticket;
    for (const cell of cells) this.waiting.set(keyOf(cell.rowKey, cell.column), { text: cell.text, ticket, firm: false });
    const [first] = rows;
    if (first) this.newRow = { ticket, cells: new Map(first.map((cell) => [cell.column, cell.text])) };
    this.sheet.draw();

    let answer: Promise<unknown> | null = null;
    const respondWith = (given: Promise<unknown>): void => { answer = given; };
    if (rows.length > 0) this.sheet.emit('fp-append', { rows, cells, reason, respondWith });
    else this.sheet.emit('fp-edit', { cells, reason, respondWith });

    try {
      if (!answer) throw new Error(NO_LISTENER);
      await (answer as Promise<unknown>);
      this.acknowledge(cells, ticket);
      return true;
    } catch (problem) {
      this.drop(cells, ticket);
      this.sheet.draw();
      this.sheet.hint(problem instanceof Error && problem.message ? problem.message : String(problem));
      return false;
    }
  }

  /** Call when fresh rows arrived: firm text may go once the records show it. */
  settle(): void {
    if (this.waiting.size === 0 || !this.sheet.cache.settled) return;
    for (const [key, entry] of this.waiting) if (entry.firm) this.waiting.delete(key);
  }

  private acknowledge(cells: CellEdit[], ticket: number): void {
    for (const cell of cells) {
      const entry = this.waiting.get(keyOf(cell.rowKey, cell.column));
      if (entry?.ticket === ticket) entry.firm = true;
    }
    if (this.newRow?.ticket === ticket) this.newRow = null;
    if (this.sheet.source && this.sheet.source.revision !== this.seenRevision) this.sheet.refresh();
    this.settle();
    this.sheet.draw();
  }

  private drop(cells: CellEdit[], ticket: number): void {
    for (const cell of cells) {
      const key = keyOf(cell.rowKey, cell.column);
      if (this.waiting.get(key)?.ticket === ticket) this.waiting.delete(key);
    }
    if (this.newRow?.ticket === ticket) this.newRow = null;
  }
}
