/**
 * The saved views of a sheet.
 *
 * Enters: the looks of the sheet. Leaves: a view chosen, saved, renamed, replaced or deleted.
 * Always true: every act is a step of undo; a view that names columns that are not there says which.
 * Never: changes a record. Two ways to look stand first and are not saved: all columns, and those in use.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { Change, ViewInfo } from '../../engine/generated/core.js';
import { words } from '../app.ts';
import { counted, View } from '../view.ts';
import type { HostedGrid } from './hosted-grid.ts';
import './arranging.css';

export class ViewsPanel extends View {
  static override properties = { host: { attribute: false } };
  host: HostedGrid | null = null;
  private shown = false;
  private name = '';
  private failure = '';
  /** The view whose name is being changed. */
  private renaming = '';

  open(): void {
    this.name = '';
    this.failure = '';
    this.renaming = '';
    this.shown = true;
    this.requestUpdate();
    void this.updateComplete.then(() => {
      if (this.dialog?.open === false) this.dialog.showModal();
    });
  }

  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog');
  }
  private get views(): readonly ViewInfo[] {
    return this.host?.looks?.look?.views ?? [];
  }

  protected override render(): TemplateResult {
    return html`<dialog class="arranging" aria-labelledby="views-title" @close=${this.closed} @click=${this.clicked}>${this.shown ? this.content() : nothing}</dialog>`;
  }

  private content(): TemplateResult {
    const all = this.host?.arrangement ?? [];
    const everything = all.every(({ shown }) => shown);
    const byUse = all.every(({ choice }) => choice === undefined);
    const { views } = this;
    return html`<div class="arranging-head">
        <div class="row between"><h2 id="views-title">Views</h2><button type="button" @click=${() => this.dialog?.close()}>Close</button></div>
        <p class="soft">A view keeps which columns are shown, their order and widths, how many stay in sight, the order of rows and the filters by column. It changes no record.</p></div>
      <ul class="arranging-list views-list" tabindex="0" aria-label="Views of the sheet">
        <li>${this.chooser('All columns', everything, () => this.host?.showColumns(all.map(({ info }) => info.key), true))}</li>
        <li>${this.chooser('Columns in use', byUse, () => this.host?.showColumns(all.map(({ info }) => info.key), undefined))}</li>
        ${views.length === 0 ? html`<li class="soft">No view is saved yet.</li>` : views.map((view) => this.line(view))}
      </ul>
      ${this.app.readOnly ? nothing : html`<form class="arranging-foot" @submit=${this.save}>
        <label class="field"><span>Save how the sheet looks now as</span><input name="view" required maxlength="60" autocomplete="off" .value=${this.name} @input=${this.typed} /></label>
        ${this.failure === '' ? nothing : html`<p class="caution" role="alert">${this.failure}</p>`}
        <div class="row end"><button class="primary">${this.there(this.name.trim()) ? 'Replace that view' : 'Save the view'}</button></div></form>`}`;
  }

  private chooser(name: string, chosen: boolean, choose: () => void): TemplateResult {
    return html`<button type="button" class="view-choice" aria-pressed=${String(chosen)} @click=${choose}><span class="view-mark" aria-hidden="true">${chosen ? '\u2713' : ''}</span>${name}</button>`;
  }

  private line(view: ViewInfo): TemplateResult {
    const { name, chosen, missing } = view;
    if (this.renaming === name) {
      return html`<li><form class="row renaming" @submit=${(event: Event) => this.renamed(event, name)} @keydown=${(event: KeyboardEvent) => { if (event.key === 'Escape') { event.preventDefault(); this.rename(''); } }}>
        <input name="new-name" required maxlength="60" autocomplete="off" aria-label=${`New name of ${name}`} .value=${name} /><button class="primary">Rename it</button><button type="button" @click=${() => this.rename('')}>Cancel</button></form></li>`;
    }
    const acts = this.app.readOnly ? nothing : html`<span class="view-acts">
        <button type="button" class="quiet" aria-label=${`Rename ${name}`} @click=${() => this.rename(name)}>Rename</button>
        ${chosen ? nothing : html`<button type="button" class="quiet" aria-label=${`Replace ${name} with how the sheet looks now`} @click=${() => this.act({ do: 'keepView', sheet: this.sheet, name }, `"${name}" keeps how the sheet looks now.`)}>Replace</button>`}
        <button type="button" class="quiet" aria-label=${`Delete ${name}`} @click=${() => this.act({ do: 'deleteView', sheet: this.sheet, name }, `The view "${name}" was deleted. Undo brings it back.`)}>Delete</button></span>`;
    return html`<li>${this.chooser(name, chosen, () => this.choose(view))}${acts}
      ${missing.length > 0 ? html`<p class="soft view-missing">${missingWords(missing)}</p>` : nothing}</li>`;
  }

  private get sheet(): string {
    return this.host?.sheet ?? '';
  }
  private there(name: string): boolean {
    return this.views.some((view) => view.name === name);
  }

  private choose({ name, missing }: ViewInfo): void {
    const said = missing.length > 0 ? ` ${missingWords(missing)}` : '';
    void this.act({ do: 'showView', sheet: this.sheet, name }, `The sheet looks like "${name}" now.${said}`);
  }

  private rename(name: string): void {
    this.renaming = name;
    this.requestUpdate();
    if (name !== '') void this.updateComplete.then(() => this.querySelector<HTMLInputElement>('[name=new-name]')?.select());
  }

  private renamed(event: Event, name: string): void {
    event.preventDefault();
    const newName = String(new FormData(event.target as HTMLFormElement).get('new-name') ?? '').trim();
    if (newName === name) return this.rename('');
    void this.act({ do: 'renameView', sheet: this.sheet, name, newName }, `The view is called "${newName}" now.`).then((done) => { if (done) this.rename(''); });
  }

  private readonly typed = (event: Event): void => {
    this.name = (event.target as HTMLInputElement).value;
    this.failure = '';
    this.requestUpdate();
  };

  private readonly save = (event: Event): void => {
    event.preventDefault();
    const name = this.name.trim();
    void this.act({ do: 'keepView', sheet: this.sheet, name }, `The view "${name}" was saved.`).then((done) => {
      if (!done) return;
      this.name = '';
      this.requestUpdate();
    });
  };

  private async act(change: Change, done: string): Promise<boolean> {
    this.failure = '';
    try {
      if (this.host?.looks === undefined) return false;
      await this.host.looks.change(change);
      this.app.tell(done);
      return true;
    } catch (cause) {
      this.failure = words(cause);
      this.requestUpdate();
      return false;
    }
  }

  private readonly clicked = (event: Event): void => {
    if (event.target === this.dialog) this.dialog?.close();
  };

  private readonly closed = (): void => {
    this.shown = false;
    this.requestUpdate();
    this.host?.grid?.focusSheet();
  };
}

function missingWords(missing: readonly string[]): string {
  return `It names ${counted(missing.length, 'column')} that ${missing.length === 1 ? 'is' : 'are'} not there: ${missing.join(', ')}.`;
}

customElements.define('fp-views-panel', ViewsPanel);
