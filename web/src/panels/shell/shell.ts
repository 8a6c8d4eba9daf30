/**
 * The frame of the page: top line, list of places, the place itself, the working drawer.
 *
 * Enters: the page's state. Leaves: links, undo and redo, find, bring in, hand over.
 * Always true: the top line holds the book's name, its saved state, the problems, and those five acts; nothing else.
 * Never: draws records itself.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { useNewVersion } from '../../embed/offline.ts';
import { bringing } from '../bring-in/bringing.ts';
import { format, route } from '../route.ts';
import { saveCopy } from '../save-copy.ts';
import { View } from '../view.ts';
import { answers, records, samePlace, type Place } from './places.ts';
import { setTheme, theme, THEMES, type Theme } from './theme.ts';
import './busy-strip.ts';
import './top-line.ts';
import { icon } from '../icons.ts';

/** The title the page came with. */
const PROGRAM = document.title;

export class Shell extends View {
  private lastPlace = '';
  private dragging = 0;

  override connectedCallback(): void {
    super.connectedCallback();
    addEventListener('dragenter', this.dragIn);
    addEventListener('dragleave', this.dragOut);
    addEventListener('dragover', this.dragOver);
    addEventListener('drop', this.dropped);
    addEventListener('keydown', this.key);
  }

  private readonly hasFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') === true;
  private readonly dragIn = (event: DragEvent): void => {
    if (!this.hasFiles(event)) return;
    this.dragging += 1;
    this.requestUpdate();
  };
  private readonly dragOut = (event: DragEvent): void => {
    if (!this.hasFiles(event)) return;
    this.dragging = Math.max(0, this.dragging - 1);
    this.requestUpdate();
  };
  private readonly dragOver = (event: DragEvent): void => {
    if (this.hasFiles(event)) event.preventDefault();
  };
  private readonly dropped = (event: DragEvent): void => {
    if (!this.hasFiles(event)) return;
    event.preventDefault();
    this.dragging = 0;
    this.requestUpdate();
    void bringing.files([...(event.dataTransfer?.files ?? [])]);
  };
  private readonly key = (event: KeyboardEvent): void => {
    if (event.defaultPrevented || this.app.state === undefined || !(event.ctrlKey || event.metaKey) || event.altKey) return;
    const typing = event.target instanceof Element && event.target.closest('input, textarea, select, dialog') !== null;
    const letter = event.key.toLowerCase();
    if (letter === 'f' && !typing) {
      event.preventDefault();
      this.querySelector<HTMLElement & { find(): void }>('fp-top-line')?.find();
    } else if (!typing && (letter === 'y' || (letter === 'z' && event.shiftKey))) {
      event.preventDefault();
      void this.app.redo();
    } else if (!typing && letter === 'z') {
      event.preventDefault();
      void this.app.undo();
    }
  };

  protected override render(): TemplateResult {
    const { app } = this;
    const open = app.state !== undefined && app.book !== undefined;
    return html`
      <a class="skip" href="#main" @click=${(event: Event) => { event.preventDefault(); this.querySelector<HTMLElement>('#main')?.focus(); }}>Skip to the content</a>
      <fp-top-line></fp-top-line>
      ${open ? html`<nav class="places" aria-label="Places in the book">${this.places()}</nav>` : nothing}
      ${this.notices(open)}
      ${app.phase === 'starting' && !open ? html`<p class="starting soft" role="status">Starting the engine.</p>`
        : html`<main id="main" tabindex="-1" class="${open ? '' : 'alone'} ${app.route.view === 'sheet' && open ? 'sheet-place' : ''}">${this.place(open)}</main>`}
      ${open && app.working !== null ? html`<fp-working></fp-working>` : nothing}
      ${open && app.card !== null && app.working === null ? html`<fp-card></fp-card>` : nothing}
      ${open ? this.phoneBar() : nothing}
      <fp-bring-in></fp-bring-in>
      <fp-bring-back></fp-bring-back>
      <fp-typed-over></fp-typed-over>
      <fp-formula></fp-formula>
      <fp-busy-strip></fp-busy-strip>
      <p class="unseen" role="status" aria-live="polite">${app.told}</p>
      ${this.dragging > 0 ? html`<div class="drop-here" aria-hidden="true">Let go to look at the file. Nothing changes before you say so.</div>` : nothing}
    `;
  }

  /** What holds wherever she stands: the sample is invented, and what she must know. */
  private notices(open: boolean): TemplateResult | typeof nothing {
    const { app } = this;
    const sample = app.book?.sample === true && open && app.route.view !== 'start';
    const reading = app.readOnly && open;
    const unsaved = app.where === 'device' && app.saved?.where === 'memory' && open;
    if (!sample && !reading && !unsaved && app.remarks.length === 0 && !app.newVersion) return nothing;
    return html`<section class="notices" aria-label="Notices">
      ${sample ? html`<p class="sample-note"><strong>Invented sample.</strong> No real ranch, cow or calf. Change what you like.</p>` : nothing}
      ${reading ? html`<div class="notice" role="status"><span>This book is open in another tab. Here it can be read, not changed.</span>
        <button type="button" class="primary" ?disabled=${app.takingOver} @click=${() => app.takeOver()}>${app.takingOver ? 'Asking the other tab' : 'Take over here'}</button></div>` : nothing}
      ${unsaved ? html`<div class="notice" role="alert"><span>This device did not keep the last change: its storage is full, or was cleared. Fairpen keeps trying; leave this tab open.</span>
        <button type="button" class="primary" @click=${() => saveCopy().catch((cause) => app.trouble(cause))}>Save a copy</button></div>` : nothing}
      ${app.remarks.map((remark) => html`<div class="notice" role="alert"><span>${remark}</span>
        <button type="button" class="quiet" @click=${() => app.putAway(remark)}>Put away</button></div>`)}
      ${app.newVersion ? html`<div class="notice" role="status"><span>A new version of Fairpen is ready. Your books stay as they are.</span>
        <button type="button" ?disabled=${app.pending > 0} @click=${() => useNewVersion()}>Use it now</button></div>` : nothing}
    </section>`;
  }

  protected override updated(): void {
    const { app } = this;
    const place = `${app.route.view}/${app.route.view === 'sheet' ? app.route.what : ''}`;
    document.title = app.state === undefined ? PROGRAM : `${this.placeName()} - ${app.state.title} - ${PROGRAM}`;
    if (place === this.lastPlace) return;
    const first = this.lastPlace === '';
    this.lastPlace = place;
    const more = this.querySelector<HTMLDialogElement>('dialog.more');
    if (more?.open === true) more.close();
    const main = this.querySelector<HTMLElement>('#main');
    if (first || main === null) return;
    main.scrollTo({ top: 0 });
    // What had the focus may be gone; the keyboard goes on from the new place.
    if (document.activeElement === document.body) main.focus({ preventScroll: true });
  }

  private placeName(): string {
    const { route: at, state } = this.app;
    if (at.view === 'sheet') return state?.sheets.find((sheet) => sheet.key === at.what)?.label ?? at.what;
    const names: Record<string, string> = { start: 'Books', pad: 'In the alley', fair: 'Fair weights', groups: 'Groups', compare: 'Compare', trial: 'Plan a fair trial', 'hand-over': 'Hand over', problems: 'Problems', versions: 'Earlier versions', settings: 'Settings' };
    return names[at.view] ?? '';
  }

  private place(open: boolean): TemplateResult {
    const { app } = this;
    if (app.phase === 'failed') {
      return html`<div class="reading"><h1>Fairpen could not start</h1><p class="caution" role="alert">${app.failure}</p>
        <p>Try a current version of Chrome, Edge, Firefox or Safari. Nothing you kept here is touched.</p></div>`;
    }
    if (!open) return html`<fp-start></fp-start>`;
    switch (app.route.view) {
      case 'start': return html`<fp-start></fp-start>`;
      case 'pad': return html`<fp-pad></fp-pad>`;
      case 'fair': return html`<fp-fair></fp-fair>`;
      case 'groups': return html`<fp-groups></fp-groups>`;
      case 'compare': return html`<fp-compare></fp-compare>`;
      case 'trial': return html`<fp-trial></fp-trial>`;
      case 'hand-over': return html`<fp-hand-over></fp-hand-over>`;
      case 'problems': return html`<fp-problems></fp-problems>`;
      case 'versions': return html`<fp-versions></fp-versions>`;
      case 'settings': return html`<fp-settings></fp-settings>`;
      case 'sheet': return app.state?.sheets.some((sheet) => sheet.key === app.route.what) === true
        ? html`<fp-sheet .sheet=${app.route.what}></fp-sheet>`
        : html`<div class="reading"><h1>Not found</h1><p>This book has no place named "${app.route.what}". Choose one from the list.</p></div>`;
    }
  }

  private link(place: Place): TemplateResult {
    const here = samePlace(place.to, this.app.route);
    return html`<li><a href=${format(place.to)} aria-current=${here ? 'page' : nothing}>
      <span>${place.label}</span>${place.count === '' ? nothing : html`<span class="soft count">${place.count}</span>`}</a></li>`;
  }

  private places(): TemplateResult {
    const { state } = this.app;
    if (state === undefined) return html``;
    const { shown, folded } = records(state);
    return html`
      <h2>Records</h2>
      <ul>${this.link({ to: route('pad'), label: 'In the alley', count: '' })}${shown.map((place) => this.link(place))}</ul>
      ${folded.length > 0 ? html`<details><summary>Not used yet</summary><ul>${folded.map((place) => this.link(place))}</ul></details>` : nothing}
      <h2>Answers</h2>
      <ul>${answers.map((place) => this.link(place))}</ul>
      <h2>This book</h2>
      <ul>
        ${this.link({ to: route('settings'), label: 'Settings', count: '' })}
        ${this.link({ to: route('versions'), label: 'Earlier versions', count: '' })}
        ${this.link({ to: route('start'), label: 'Books', count: '' })}
      </ul>
      <label class="theme"><span>Look</span>
        <select @change=${(event: Event) => setTheme((event.target as HTMLSelectElement).value as Theme)}>
          ${THEMES.map(({ key, words }) => html`<option value=${key} ?selected=${theme() === key}>${words}</option>`)}
        </select></label>
    `;
  }

  private phoneBar(): TemplateResult {
    const { app } = this;
    const button = (to: Place['to'], label: string, sign: TemplateResult): TemplateResult =>
      html`<a href=${format(to)} aria-current=${samePlace(to, app.route) ? 'page' : nothing}>${sign}<span>${label}</span></a>`;
    return html`
      <nav class="phone-bar" aria-label="Main places">
        ${button(route('pad'), 'Alley', html`${icon('pad')}`)}
        ${button(route('sheet', 'calves'), 'Calves', html`${icon('sheet')}`)}
        ${button(route('fair'), 'Fair weights', html`${icon('fair')}`)}
        ${button(route('compare'), 'Compare', html`${icon('compare')}`)}
        <button type="button" aria-haspopup="dialog" @click=${() => this.querySelector<HTMLDialogElement>('dialog.more')?.showModal()}>${icon('more')}<span>More</span></button>
      </nav>
      <dialog class="more" aria-label="All places" @click=${this.outside}>
        <div class="more-inner">
          <button type="button" class="quiet" @click=${(event: Event) => (event.target as Element).closest('dialog')?.close()}>Close</button>
          ${this.places()}
        </div>
      </dialog>`;
  }

  private outside(event: MouseEvent): void {
    const target = event.target as Element;
    if (target.localName === 'dialog' || target.closest('a') !== null) (target.closest('dialog') as HTMLDialogElement).close();
  }
}

customElements.define('fp-shell', Shell);
