/**
 * The top line: name, saved state, problems, undo and redo, find, bring in, hand over.
 *
 * Enters: the page's state. Leaves: those acts.
 * Always true: "Saved" means that the last change is safe on this device.
 * Never: holds anything else.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { bringing } from '../bring-in/bringing.ts';
import { icon, type IconName } from '../icons.ts';
import { format, route } from '../route.ts';
import { View } from '../view.ts';

const clock = (at: number): string => new Date(at).toLocaleTimeString(undefined, { hour: 'numeric', minute: '2-digit' });
const sameDay = (at: number): boolean => new Date(at).toDateString() === new Date().toDateString();

/** A saved time as people say it. */
export function when(at: number): string {
  return sameDay(at) ? clock(at) : new Date(at).toLocaleDateString(undefined, { month: 'short', day: 'numeric' });
}

export class TopLine extends View {
  private finding = false;
  private lastFound = -1;
  private findNote = '';

  protected override render(): TemplateResult {
    const { app } = this;
    const { state, book } = app;
    if (state === undefined || book === undefined) {
      return html`<header class="top-line"><a class="word" href="#start">Fairpen</a></header>`;
    }
    return html`
      <header class="top-line">
        <div class="named">
          <a class="book-name" href=${format(route('settings'))} title="Name and settings of this book">${state.title === '' ? 'Book without a name' : state.title}</a>
          ${this.savedWords()}
        </div>
        ${this.problems()}
        <div class="acts" role="group" aria-label="Acts">
          ${this.act('undo', 'Undo', state.undo == null ? 'Nothing to undo' : `Undo: ${state.undo}`, state.undo == null || app.readOnly, () => void app.undo())}
          ${this.act('redo', 'Redo', state.redo == null ? 'Nothing to do again' : `Do again: ${state.redo}`, state.redo == null || app.readOnly, () => void app.redo())}
          ${this.act('find', 'Find', 'Find a tag or any text in the sheet', false, () => this.find())}
          ${this.act('bringIn', 'Bring in', 'Bring in a file', app.readOnly, () => void bringing.choose())}
          ${this.act('handOver', 'Hand over', 'Hand over one file', false, () => app.go(route('hand-over')), app.route.view === 'hand-over')}
        </div>
        ${this.finding ? this.findBox() : nothing}
      </header>`;
  }

  private act(sign: IconName, label: string, help: string, off: boolean, act: () => void, here = false): TemplateResult {
    return html`<button type="button" class="act" aria-current=${here ? 'page' : nothing} title=${help} aria-label=${help === label ? nothing : `${label}. ${help}`} ?disabled=${off} @click=${act}>${icon(sign)}<span>${label}</span></button>`;
  }

  private savedWords(): TemplateResult {
    const { saved, pending } = this.app;
    if (pending > 0) return html`<span class="saved soft">Saving</span>`;
    if (saved === undefined) return html`<span class="saved"></span>`;
    if (saved.where === 'read-only') return html`<span class="saved attention">Open in another tab: reading only</span>`;
    if (saved.where === 'memory') {
      return this.app.where === 'memory' ? html`<span class="saved attention">In this tab only, not saved</span>`
        : html`<span class="saved attention" title="In this tab only. It is being written again.">Not saved, trying again</span>`;
    }
    return html`<span class="saved soft" title="Kept on this device. Nothing was sent anywhere.">Saved here, ${when(saved.at)}</span>`;
  }

  private problems(): TemplateResult {
    const counts = this.app.state?.problems ?? { errors: 0, doubtful: 0, remarks: 0 };
    const n = counts.errors + counts.doubtful;
    const [shown, word] = n > 0 ? [n, n === 1 ? 'problem' : 'problems'] : [counts.remarks, 'worth knowing'];
    const label = shown === 0 ? html`<span class="word">No problems</span>` : html`<span>${shown.toLocaleString('en-US')}</span> <span class="word">${word}</span>`;
    return html`<a class="problem-count ${counts.errors > 0 ? 'has-errors' : n > 0 ? 'has-doubts' : ''}" href=${format(route('problems'))}
      title="${counts.errors} that stop a figure, ${counts.doubtful} doubtful, ${counts.remarks} worth knowing">${icon(shown === 0 ? 'well' : 'problems')}${label}</a>`;
  }

  /** Opens the find box, or goes back to it. */
  find(): void {
    if (this.app.state === undefined) return;
    this.finding = true;
    this.requestUpdate();
    void this.updateComplete.then(() => this.querySelector<HTMLInputElement>('#find')?.select());
  }

  private findBox(): TemplateResult {
    return html`<form class="find" role="search" @submit=${this.next} @keydown=${(event: KeyboardEvent) => { if (event.key === 'Escape') this.close(); }}>
      <label for="find">Find</label>
      <input id="find" type="search" autocomplete="off" spellcheck="false" placeholder="tag, dam, place ..." @input=${() => { this.lastFound = -1; this.findNote = ''; }} />
      <button type="submit" class="primary">Next</button>
      <button type="button" class="quiet" @click=${this.close}>Close</button>
      <span role="status" class="soft">${this.findNote}</span>
    </form>`;
  }

  private readonly close = (): void => {
    this.finding = false;
    this.findNote = '';
    this.requestUpdate();
    document.querySelector<HTMLElement>('fp-grid .fpg-scroller')?.focus();
  };

  private readonly next = (event: Event): void => {
    event.preventDefault();
    void this.toNext();
  };

  private async toNext(): Promise<void> {
    const text = this.querySelector<HTMLInputElement>('#find')?.value.trim() ?? '';
    if (text === '') return;
    const { app } = this;
    if (app.route.view !== 'sheet' && app.route.view !== 'fair') app.go(route('sheet', 'calves'));
    const sheet = app.route.view === 'sheet' ? app.route.what : 'calves';
    try {
      const shown = document.querySelector('fp-grid')?.columns ?? await app.columns(sheet);
      const found = await app.engine.askLatest('find', 'find', { sheet, text, from: this.lastFound, columns: shown.map(({ key }) => key) });
      const wrapped = found >= 0 && found <= this.lastFound;
      this.lastFound = found;
      this.findNote = found < 0 ? `"${text}" is not in the rows and columns shown.` : `Row ${(found + 1).toLocaleString('en-US')}${wrapped ? ', from the top again' : ''}.`;
      if (found >= 0) document.querySelector<HTMLElement & { goTo(row: number, column: string): void }>('fp-grid')?.goTo(found, 'tag');
    } catch (cause) {
      app.trouble(cause);
    }
    this.requestUpdate();
  }
}

customElements.define('fp-top-line', TopLine);
