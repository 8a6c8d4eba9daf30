/**
 * What the active cell names, and the animal or place of its row: a button for each, beside the entry line.
 *
 * Enters: the active cell. Leaves: steps to other sheets, the card of a row, a name chosen or added.
 * Always true: a name that fits two is asked about here, a name that is on no sheet can be added from here, and one
 *   that was taken off brought back; the
 *   line keeps its height whatever it shows.
 * Never: chooses by itself.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { ChosenPlace, LinkedPlace, NamedInfo } from '../../engine/generated/core.js';
import { Answer, View } from '../view.ts';
import { bringBack, bringBackWords } from './bring-back.ts';
import { follow, openCard, wayBack } from './follow.ts';

/** Sheets whose rows are animals or places, with the word for one. */
const CARDS: Record<string, string> = { calves: 'calf', cows: 'cow', bulls: 'bull', places: 'place' };
const SHEET_WORDS: Record<string, string> = { calves: 'calves', cows: 'cows', bulls: 'bulls', places: 'places' };

export interface ActiveCell {
  sheet: string;
  rowKey: number | null;
  column: string;
  /** The column names something. */
  names: boolean;
  /** Rows selected. */
  rowKeys: () => Promise<number[]>;
  nRows: number;
}

export class CellNames extends View {
  static override properties = { cell: { attribute: false } };
  cell: ActiveCell | null = null;
  private readonly names = new Answer<NamedInfo[]>(this);
  private asked: NamedInfo | null = null;

  protected override render(): TemplateResult {
    const { cell, app } = this;
    const { state } = app;
    if (cell === null || cell.rowKey === null || state === undefined) return html`<div class="cell-names"></div>`;
    const { sheet, rowKey, column } = cell;
    const names = cell.names
      ? this.names.follow(`${app.standing} ${state.revision} ${sheet} ${rowKey} ${column}`, () => app.engine.ask('namesAt', { sheet, rowKey, column }))
      : undefined;
    const word = CARDS[sheet];
    const many = cell.nRows > 1 && sheet === 'calves';
    const back = wayBack();
    return html`<div class="cell-names">
      ${back === undefined ? nothing : html`<button type="button" class="quiet" title="To the cell you came from (Alt + Left)" @click=${() => { location.hash = back.here; }}>Back<span class="when-wide"> to ${back.label}</span></button>`}
      ${cell.names ? (names ?? []).map((named) => this.name(named)) : nothing}
      ${word === undefined ? nothing : html`<button type="button" class="quiet about" @click=${this.about}>${many ? `About ${cell.nRows.toLocaleString('en-US')} calves` : html`<span>About<span class="when-wide"> this ${word}</span></span>`}</button>`}
    </div>
    <dialog class="which" aria-labelledby="which-title" @close=${() => { this.asked = null; this.requestUpdate(); }}>${this.asked === null ? nothing : this.question(this.asked)}</dialog>`;
  }

  private name(named: NamedInfo): TemplateResult | typeof nothing {
    const place = named.places[0]?.place;
    switch (named.standing) {
      case 'unknown': return nothing;
      case 'one': return place === undefined ? nothing : html`<button type="button" class="quiet" title=${place.words} @click=${() => this.open(place)}>Open ${titled(place)}</button>`;
      case 'not_there': return html`<button type="button" class="quiet doubt" aria-haspopup="dialog" @click=${() => this.ask(named)}>${named.name} is on no sheet</button>`;
      case 'several': return html`<button type="button" class="quiet doubt" aria-haspopup="dialog" @click=${() => this.ask(named)}>${named.name} fits ${named.places.length}: choose</button>`;
      case 'taken_off': return html`<button type="button" class="quiet doubt" aria-haspopup="dialog" @click=${() => this.ask(named)}>${named.name} was taken off</button>`;
      default: return html`<button type="button" class="quiet doubt" aria-haspopup="dialog" @click=${() => this.ask(named)}>${named.name} was not there</button>`;
    }
  }

  private question(named: NamedInfo): TemplateResult {
    const writes = !this.app.readOnly;
    return html`<h2 id="which-title">${named.name}</h2>
      <p>${named.words}</p>
      ${named.places.map(({ place, cellText }) => html`<div class="row between which-row"><span>${place.words}</span><span class="row">
        ${named.standing === 'several' && writes ? html`<button type="button" class="primary" @click=${() => this.choose({ place, cellText })}>This one</button>` : nothing}
        <button type="button" @click=${() => { this.dialog?.close(); this.open(place); }}>Open</button></span></div>`)}
      ${named.takenOff.map(({ sheet, rowKey, words }) => html`<div class="row between which-row"><span>${words}<br /><span class="soft">taken off</span></span>
        ${writes ? html`<button type="button" class="primary" @click=${() => this.back(sheet, rowKey)}>${bringBackWords(sheet)}</button>` : nothing}</div>`)}
      ${named.standing === 'taken_off' && named.places.length === 0 && writes ? html`<div class="row">${named.addTo.map((sheet) => html`<button type="button" @click=${() => this.add(sheet, named.name)}>Add another to the ${SHEET_WORDS[sheet] ?? sheet}</button>`)}</div>` : nothing}
      ${named.standing === 'not_there' && writes ? html`<div class="row">${named.addTo.map((sheet) => html`<button type="button" class="primary" @click=${() => this.add(sheet, named.name)}>Add it to the ${SHEET_WORDS[sheet] ?? sheet}</button>`)}</div>` : nothing}
      <div class="row end"><button type="button" @click=${() => this.dialog?.close()}>Close</button></div>`;
  }

  private back(sheet: string, rowKey: number): void {
    this.dialog?.close();
    void bringBack(sheet, [rowKey]).catch((cause: unknown) => this.app.trouble(cause));
  }

  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog.which');
  }
  private ask(named: NamedInfo): void {
    this.asked = named;
    this.requestUpdate();
    void this.updateComplete.then(() => this.dialog?.showModal());
  }

  /** Ctrl + Enter on the cell: opens what it names; asks where that is not clear; else shows the row itself. */
  async openByKey(cell: ActiveCell): Promise<void> {
    const { sheet, rowKey, column } = cell;
    if (rowKey === null) return;
    this.cell = cell;
    const names = cell.names ? await this.app.engine.ask('namesAt', { sheet, rowKey, column }) : [];
    const first = names.find((named) => named.standing !== 'unknown');
    const place = first?.places[0]?.place;
    if (first === undefined) {
      if (CARDS[sheet] === undefined) this.app.tell('This cell names nothing on another sheet.');
      else openCard(sheet, await cell.rowKeys());
    } else if (first.standing === 'one' && place !== undefined && names.length === 1) this.open(place);
    else if (first.standing === 'one' && place !== undefined) this.ask({ ...first, name: 'Open which?', words: `The cell names ${names.length}.`, standing: 'one', places: names.flatMap((named) => named.places) });
    else this.ask(first);
  }

  private open(place: LinkedPlace): void {
    const { cell } = this;
    if (cell !== null && cell.rowKey !== null) follow(place, { sheet: cell.sheet, rowKey: cell.rowKey, column: cell.column });
  }

  private choose({ cellText }: ChosenPlace): void {
    const { cell, app } = this;
    this.dialog?.close();
    if (cell === null || cell.rowKey === null) return;
    app.change({ do: 'setCells', sheet: cell.sheet, cells: [{ rowKey: cell.rowKey, column: cell.column, text: cellText }] })
      .then(() => app.tell(`Written as ${cellText}.`), (cause) => app.trouble(cause));
  }

  private add(sheet: string, name: string): void {
    const { app } = this;
    this.dialog?.close();
    const column = sheet === 'places' ? 'name' : 'tag';
    app.change({ do: 'addRows', sheet, nRows: 1, cells: [{ rowKey: 0, column, text: name }], existing: [] })
      .then(() => app.tell(`${name} was added to the ${SHEET_WORDS[sheet] ?? sheet}.`), (cause) => app.trouble(cause));
  }

  private readonly about = (): void => {
    const { cell } = this;
    if (cell !== null) void cell.rowKeys().then((rowKeys) => openCard(cell.sheet, rowKeys), (cause) => this.app.trouble(cause));
  };
}

/** `cow 17` from `Cow 17, born 2018`. */
function titled(place: LinkedPlace): string {
  const title = place.words.split(',')[0] ?? '';
  return place.sheet === 'places' ? title : title.charAt(0).toLowerCase() + title.slice(1);
}

customElements.define('fp-cell-names', CellNames);
