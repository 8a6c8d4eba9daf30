/**
 * A sheet of records, as she types it in, with what the engine makes of it beside.
 *
 * Enters: a sheet key. Leaves: edits.
 * Always true: columns that nobody uses are folded away until asked for; what is hidden is said, with one act
 *   to have it back.
 * Never: hides a column that holds anything, unless she does.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ColumnDetail, RowsDetail } from '../../grid/contract.ts';
import { remember, remembered } from '../app.ts';
import { openFormulaBox } from '../formula/formula.ts';
import { icon } from '../icons.ts';
import { View } from '../view.ts';
import './columns-panel.ts';
import type { ColumnsPanel } from './columns-panel.ts';
import './hosted-grid.ts';
import type { HostedGrid } from './hosted-grid.ts';
import { keysHelp } from './keys-help.ts';
import './own-columns.ts';
import type { OwnColumns } from './own-columns.ts';
import './rename-column.ts';
import type { RenameColumn } from './rename-column.ts';
import './replace-bar.ts';
import type { ReplaceBar } from './replace-bar.ts';
import './rows-menu.ts';
import type { RowsMenu } from './rows-menu.ts';
import './views-panel.ts';
import type { ViewsPanel } from './views-panel.ts';

export class Sheet extends View {
  static override properties = { sheet: {} };
  sheet = 'calves';
  private filters = false;
  private compact = remembered('fairpen-compact') === 'yes';
  private replacing = false;

  override connectedCallback(): void {
    super.connectedCallback();
    addEventListener('keydown', this.key);
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback();
    removeEventListener('keydown', this.key);
  }

  private readonly key = (event: KeyboardEvent): void => {
    const inside = event.target instanceof Element ? event.target : null;
    if (event.defaultPrevented || inside?.closest('dialog') != null) return;
    const typing = inside?.closest('input, textarea, select') != null;
    if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === 'h' && !this.app.readOnly) {
      event.preventDefault();
      this.replace();
    } else if (event.key === 'F1' || (event.key === '?' && !typing && inside?.closest('fp-grid') == null)) {
      event.preventDefault();
      this.keys?.showModal();
    }
  };

  private replace(): void {
    this.replacing = true;
    this.requestUpdate();
    void this.updateComplete.then(() => this.querySelector<ReplaceBar>('fp-replace-bar')?.focusFind());
  }

  private get host(): HostedGrid | null {
    return this.querySelector('fp-hosted-grid');
  }

  private readonly columnAct = ({ detail }: CustomEvent<ColumnDetail>): void => {
    const { act, column } = detail;
    if (act === 'choose') this.columns?.open();
    else if (act === 'formula') openFormulaBox(this.sheet, column);
    else if (act === 'rename') this.renaming?.open(column);
    else if (act === 'remove') void this.takeAway(column);
  };

  /** What another formula uses is refused by the engine, with its name; the rest can be undone. */
  private async takeAway(column: string): Promise<void> {
    const label = this.host?.arrangement.find(({ info }) => info.key === column)?.info.label ?? column;
    await this.app.change({ do: 'removeColumn', sheet: this.sheet, column })
      .then(() => this.app.tell(`${label} was taken away with everything in it. Undo brings it back.`), (cause) => this.app.trouble(cause));
    this.host?.grid?.focusSheet();
  }

  /** The sheet that had no rows when it was opened: what it is for stays on the page until she leaves. */
  private teaches = '';

  protected override willUpdate(changed: Map<string, unknown>): void {
    if (!changed.has('sheet')) return;
    const info = this.app.state?.sheets.find((one) => one.key === this.sheet);
    this.teaches = info?.nRows === 0 ? this.sheet : '';
  }

  protected override render(): TemplateResult {
    const info = this.app.state?.sheets.find((one) => one.key === this.sheet);
    if (info === undefined) return html``;
    const { host } = this;
    const shown = host?.nShown ?? info.nRows;
    const rows = shown === info.nRows ? `${info.nRows.toLocaleString('en-US')} rows` : `${shown.toLocaleString('en-US')} of ${info.nRows.toLocaleString('en-US')} rows shown`;
    return html`
      <div class="sheet-head">
        <h1>${info.label}</h1><span class="soft" role="status">${rows}</span>
        <button type="button" class="quiet" aria-pressed=${String(this.filters)} @click=${() => { this.filters = !this.filters; this.requestUpdate(); }}>${icon('filter')} Filter</button>
        <button type="button" class="quiet tools-button" popovertarget="sheet-tools" aria-haspopup="true">${icon('more')} Tools</button>
        <div class="sheet-tools" id="sheet-tools" popover @click=${this.toolChosen}>
          ${this.app.readOnly ? nothing : html`<button type="button" class="quiet" aria-expanded=${String(this.replacing)} @click=${() => this.replace()}>Replace</button>`}
          ${this.app.readOnly ? nothing : html`<button type="button" class="quiet" aria-haspopup="dialog" @click=${() => this.rows('menu')}>Rows</button>`}
          <button type="button" class="quiet" aria-pressed=${String(this.compact)} @click=${this.toggleCompact}>Tight rows</button>
          ${this.app.readOnly ? nothing : html`<button type="button" class="quiet" aria-haspopup="dialog" @click=${() => void this.querySelector<OwnColumns>('fp-own-columns')?.show().catch((cause) => this.app.trouble(cause))}>Add a column</button>`}
          ${this.app.readOnly ? nothing : html`<button type="button" class="quiet" aria-haspopup="dialog" @click=${() => openFormulaBox(this.sheet)}>Calculated column</button>`}
          <button type="button" class="quiet" aria-haspopup="dialog" @click=${() => this.columns?.open()}>Columns</button>
          <button type="button" class="quiet" aria-haspopup="dialog" @click=${() => this.views?.open()}>Views</button>
          <button type="button" class="quiet keys-button" aria-haspopup="dialog" aria-label="Keys of the sheet" title="Keys of the sheet (F1)" @click=${() => this.keys?.showModal()}><span aria-hidden="true">?</span><span class="when-narrow">Keys</span></button>
        </div>
      </div>
      ${this.teaches === this.sheet ? html`<p class="teaches">A row is ${info.aRowIs}. ${info.whatFor}</p>` : nothing}
      ${this.replacing ? html`<fp-replace-bar .sheet=${this.sheet} .host=${this.querySelector<HostedGrid>('fp-hosted-grid')} @close-replace=${() => { this.replacing = false; this.requestUpdate(); }}></fp-replace-bar>` : nothing}
      <fp-hosted-grid class="fill" .sheet=${this.sheet} .label=${info.label} ?appendable=${true} ?arrangeable=${true} ?filters=${this.filters} ?compact=${this.compact}
        @shown=${this.hostShown} @column-act=${this.columnAct} @fp-rows=${(event: CustomEvent<RowsDetail>) => this.rows(event.detail.act)}></fp-hosted-grid>
      <fp-columns-panel .host=${host}></fp-columns-panel>
      <fp-views-panel .host=${host}></fp-views-panel>
      <fp-rows-menu .host=${host}></fp-rows-menu>
      <fp-rename-column .host=${host}></fp-rename-column>
      ${keysHelp()}
      <fp-own-columns .sheet=${this.sheet} .host=${host}></fp-own-columns>`;
  }

  private get columns(): ColumnsPanel | null {
    return this.querySelector('fp-columns-panel');
  }
  private get views(): ViewsPanel | null {
    return this.querySelector('fp-views-panel');
  }
  private get renaming(): RenameColumn | null {
    return this.querySelector('fp-rename-column');
  }

  /** What a key, a press or the button asks for the rows chosen. */
  private rows(act: RowsDetail['act']): void {
    const { host } = this;
    if (host === null || this.app.readOnly) return;
    if (act === 'menu') {
      const menu = this.querySelector<RowsMenu>('fp-rows-menu');
      if (menu !== null) {
        menu.host = host;
        void menu.show().catch((cause) => this.app.trouble(cause));
      }
      return;
    }
    void host.rowsChosen().then(async (chosen) => {
      if (chosen === null) return;
      if (act === 'off') await host.takeOff(chosen);
      else await host.insert(chosen.first, chosen.last - chosen.first + 1);
    }).catch((cause) => this.app.trouble(cause));
  }

  /** On a phone the tools are a list that opens; it has done its work when one is chosen. */
  private readonly toolChosen = (): void => {
    const tools = this.querySelector<HTMLElement>('.sheet-tools');
    if (tools?.matches(':popover-open') === true) tools.hidePopover();
  };

  private get keys(): HTMLDialogElement | null {
    return this.querySelector('dialog.keys');
  }
  private readonly toggleCompact = (): void => {
    this.compact = !this.compact;
    remember('fairpen-compact', this.compact ? 'yes' : '');
    this.requestUpdate();
  };
  private readonly hostShown = (): void => {
    this.requestUpdate();
    this.columns?.requestUpdate();
    this.views?.requestUpdate();
  };
}

customElements.define('fp-sheet', Sheet);
