/**
 * Find and replace in a sheet.
 *
 * Enters: what to find, what stands in its place, where. Leaves: one change, or a walk to the first place.
 * Always true: how many cells it would change is said before; columns that are worked out are left alone, and
 *   that is said too.
 * Never: replaces more than was counted in the rows shown.
 */
import { html, type TemplateResult } from 'lit';
import { Stale } from '../../engine/client.ts';
import type { ReplaceCount, ReplaceRequest } from '../../engine/generated/core.js';
import { counted, View } from '../view.ts';
import type { HostedGrid } from './hosted-grid.ts';

const TYPING_PAUSE_MS = 150;
type Where = 'selection' | 'column' | 'all';

export class ReplaceBar extends View {
  static override properties = { sheet: {}, host: { attribute: false } };
  sheet = 'calves';
  host: HostedGrid | null = null;
  private where: Where = 'column';
  private count: ReplaceCount | null = null;
  private timer = 0;
  private done = '';

  override connectedCallback(): void {
    super.connectedCallback();
    const range = this.host?.grid?.range;
    this.where = range !== undefined && range.lastRow > range.firstRow ? 'selection' : 'column';
    this.host?.addEventListener('fp-select', this.later);
    void this.updateComplete.then(() => this.focusFind());
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.host?.removeEventListener('fp-select', this.later);
    clearTimeout(this.timer);
  }

  focusFind(): void {
    this.querySelector<HTMLInputElement>('[name=find]')?.select();
  }

  private request(): ReplaceRequest | null {
    const form = this.querySelector('form');
    const grid = this.host?.grid;
    if (form === null || grid == null) return null;
    const said = new FormData(form);
    const { range, columns } = grid;
    const inSelection = this.where === 'selection';
    const chosen = this.where === 'all' ? columns
      : inSelection ? columns.slice(range.firstColumn, range.lastColumn + 1) : columns.slice(grid.active.column, grid.active.column + 1);
    return {
      sheet: this.sheet,
      find: String(said.get('find') ?? ''),
      with: String(said.get('with') ?? ''),
      wholeCell: said.has('whole'),
      matchCase: said.has('case'),
      first: inSelection ? range.firstRow : 0,
      last: inSelection ? range.lastRow : Math.max(0, grid.nRows - 1),
      columns: chosen.map((column) => column.key),
    };
  }

  private readonly later = (): void => {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.recount(), TYPING_PAUSE_MS);
  };

  private async recount(): Promise<void> {
    const request = this.request();
    if (request === null) return;
    try {
      this.count = request.find === '' ? null : await this.app.engine.askLatest('replace', 'countReplace', { request });
      this.requestUpdate();
    } catch (cause) {
      if (!(cause instanceof Stale)) this.app.trouble(cause);
    }
  }

  private readonly typed = (): void => {
    this.done = '';
    this.count = null;
    this.requestUpdate();
    this.later();
  };

  private readonly moved = (event: Event): void => {
    this.where = (event.target as HTMLSelectElement).value as Where;
    this.typed();
  };

  private readonly replaceAll = async (event: Event): Promise<void> => {
    event.preventDefault();
    const request = this.request();
    const n = this.count?.nCells ?? 0;
    const nLost = this.count?.nNotUnderstood ?? 0;
    if (request === null || n === 0) return;
    try {
      await this.app.acknowledged(this.app.engine.ask('replace', { request }));
      this.done = `Replaced in ${counted(n, 'cell')}${nLost === 0 ? '' : `, of which ${nLost.toLocaleString('en-US')} ${nLost === 1 ? 'is' : 'are'} not understood in ${nLost === 1 ? 'its' : 'their'} column now and count as blank`}. Undo takes it back in one step.`;
      this.app.tell(this.done);
      await this.recount();
    } catch (cause) {
      this.app.trouble(cause);
    }
  };

  private readonly goToFirst = (): void => {
    const grid = this.host?.grid;
    const request = this.request();
    const row = this.count?.first;
    if (grid == null || request === null || row === undefined) return;
    grid.goTo(row, grid.columns[grid.active.column]?.key ?? '');
    grid.focusSheet();
  };

  private readonly close = (): void => {
    this.dispatchEvent(new Event('close-replace'));
    this.host?.grid?.focusSheet();
  };

  private words(): string {
    const { count } = this;
    if (count === null) return this.done;
    const here = count.nCells === 0 ? 'No cell holds this.' : `${counted(count.nCells, 'cell')} in ${counted(count.nRows, 'row')}.`;
    const left = count.nLeftAlone === 0 ? '' : ` ${counted(count.nLeftAlone, 'cell')} in columns that are worked out ${count.nLeftAlone === 1 ? 'is' : 'are'} left alone.`;
    const lost = count.nNotUnderstood === 0 ? '' : ` The new text would not be understood in ${counted(count.nNotUnderstood, 'cell')}, which then count as blank.`;
    return `${this.done === '' ? '' : `${this.done} `}${here}${left}${lost}`;
  }

  protected override render(): TemplateResult {
    const n = this.count?.nCells ?? 0;
    return html`<form class="replace" aria-label="Find and replace" @submit=${this.replaceAll} @keydown=${(event: KeyboardEvent) => { if (event.key === 'Escape') this.close(); }}>
      <label><span>Find</span><input name="find" autocomplete="off" spellcheck="false" @input=${this.typed} /></label>
      <label><span>Replace with</span><input name="with" autocomplete="off" spellcheck="false" @input=${this.typed} /></label>
      <label><span>In</span><select name="where" .value=${this.where} @change=${this.moved}>
        <option value="column" ?selected=${this.where === 'column'}>This column</option>
        <option value="selection" ?selected=${this.where === 'selection'}>Selected cells</option>
        <option value="all" ?selected=${this.where === 'all'}>All columns shown</option>
      </select></label>
      <label class="tick"><input type="checkbox" name="whole" @change=${this.typed} /><span>Whole cell</span></label>
      <label class="tick"><input type="checkbox" name="case" @change=${this.typed} /><span>Match capitals</span></label>
      <div class="row">
        <button type="submit" class="primary" ?disabled=${n === 0}>${n === 0 ? 'Replace' : `Replace in ${counted(n, 'cell')}`}</button>
        <button type="button" ?disabled=${n === 0} @click=${this.goToFirst}>Go to the first</button>
        <button type="button" class="quiet" @click=${this.close}>Close</button>
      </div>
      <p role="status" class="soft">${this.words()}</p>
    </form>`;
  }
}

customElements.define('fp-replace-bar', ReplaceBar);
