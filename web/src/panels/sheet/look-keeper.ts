/**
 * The look of one sheet while it is on the screen.
 *
 * Enters: what the person arranges. Leaves: the look to show, at once, and the changes that keep it.
 * Always true: what was arranged last is what shows, also while it is on its way to the book; a tab that only
 *   reads arranges for itself.
 * Never: decides what is shown of the columns; that is `arrangement.ts`.
 */
import type { Change, LookParts, LookWidth, SheetLook } from '../../engine/generated/core.js';
import type { ColumnFilter, SortKey } from '../../grid/contract.ts';
import { app } from '../app.ts';

/** Parts of a look; those not given stay as they are. */
export type SomeParts = Partial<LookParts>;
const whole = (parts: SomeParts): LookParts => ({ columns: undefined, widths: undefined, frozen: undefined, sort: undefined, filters: undefined, ...parts });

/** A held key makes many widths; the last one is kept. */
const WIDTH_REST_MS = 500;

export class LookKeeper {
  look: SheetLook | undefined;
  private onTheWay = 0;
  private timer = 0;

  constructor(readonly sheet: string, private readonly shown: () => void) {}

  /** The look of the book, unless something arranged here is still on its way to it. */
  async follow(): Promise<void> {
    if (this.look !== undefined && (this.onTheWay > 0 || this.timer !== 0 || app.readOnly)) return;
    const asked = await app.engine.ask('look', { sheet: this.sheet });
    if (this.onTheWay === 0 && this.timer === 0) this.look = asked;
  }

  widthOf(column: string): number | undefined {
    return this.look?.widths.find((one) => one.column === column)?.px;
  }

  /** A step that undo takes back: hiding, showing, moving, freezing. */
  arrange(parts: SomeParts): Promise<void> {
    this.put(parts);
    return this.send(() => app.change({ do: 'setLook', sheet: this.sheet, look: whole(parts) }));
  }

  /** A change of the views or of the whole look; the book says afterwards how the sheet looks. */
  change(change: Change): Promise<void> {
    this.flush();
    return this.send(() => app.change(change));
  }

  sortBy(keys: readonly SortKey[]): void {
    this.keep({ sort: keys.map(({ column, descending }) => ({ column, descending })) });
  }

  filterBy(filters: readonly ColumnFilter[]): void {
    this.keep({ filters: filters.map(({ column, contains, values }) => ({ column, contains: contains ?? '', values })) });
  }

  widen(column: string, width: number): void {
    if (this.look === undefined) return;
    const others = this.look.widths.filter((one) => one.column !== column);
    this.look = { ...this.look, widths: [...others, { column, px: Math.round(width) }] };
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.flush(), WIDTH_REST_MS);
  }

  /** Sends what still waits. */
  flush(): void {
    if (this.timer === 0) return;
    clearTimeout(this.timer);
    this.timer = 0;
    const widths: LookWidth[] = this.look?.widths ?? [];
    this.keep({ widths });
  }

  private keep(parts: SomeParts): void {
    this.put(parts);
    void this.send(() => app.acknowledged(app.engine.ask('keepLook', { sheet: this.sheet, look: whole(parts) }))).catch((cause) => app.trouble(cause));
  }

  private put(parts: SomeParts): void {
    if (this.look === undefined) return;
    const { columns, widths, frozen, sort, filters, views } = this.look;
    this.look = {
      columns: parts.columns ?? columns, widths: parts.widths ?? widths, frozen: parts.frozen ?? frozen,
      sort: parts.sort ?? sort, filters: parts.filters ?? filters, views,
    };
  }

  private async send(act: () => Promise<void>): Promise<void> {
    if (app.readOnly) { this.shown(); return; }
    this.onTheWay += 1;
    try {
      await act();
    } finally {
      this.onTheWay -= 1;
      this.shown();
    }
  }
}
