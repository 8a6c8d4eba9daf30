/**
 * Rows taken off the record that come back: whom they would double is said first.
 *
 * Enters: rows taken off. Leaves: the rows back on the record, or nothing changed.
 * Always true: a row that would stand twice comes back only after she has seen the other one and said so.
 * Never: chooses between two rows.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { DoubleInfo, LinkedPlace, TakenOffRow } from '../../engine/generated/core.js';
import { app } from '../app.ts';
import { format, route } from '../route.ts';
import { counted, View } from '../view.ts';

/** Brings the rows back, and says it. */
type Carry = (rowKeys: number[]) => Promise<void>;
interface Doubled { sheet: string; rowKeys: number[]; doubles: DoubleInfo[]; carry: Carry }

/** Doubles listed; the others are counted. */
const MOST_LISTED = 20;

/** `Bring her back`, by the sheet. */
export function bringBackWords(sheet: string): string {
  return `Bring ${sheet === 'cows' ? 'her' : sheet === 'bulls' ? 'him' : 'it'} back`;
}

/** Brings rows back, after asking where one would stand twice. */
export async function bringBack(sheet: string, rowKeys: number[], carry: Carry = carried(sheet)): Promise<void> {
  const doubles = await app.engine.ask('doubles', { sheet, rowKeys });
  if (doubles.length === 0) await carry(rowKeys);
  else dialogs()?.double({ sheet, rowKeys, doubles, carry });
}

/** Brings back what the names in a cell stand for; asks which, where several rows taken off fit. */
export async function bringBackNamed(sheet: string, rowKey: number, column: string): Promise<void> {
  const names = await app.engine.ask('namesAt', { sheet, rowKey, column });
  const rows = names.flatMap((named) => named.takenOff);
  const [only] = rows;
  if (only === undefined) app.tell('Nobody of that name was taken off any more.');
  else if (rows.length === 1) await bringBack(only.sheet, [only.rowKey]);
  else dialogs()?.choose(rows);
}

function carried(sheet: string): Carry {
  return async (rowKeys) => {
    const answer = app.engine.ask('bringBackKeys', { sheet, rowKeys });
    await app.acknowledged(answer);
    app.tell((await answer).words);
  };
}

const dialogs = (): BringBack | null => document.querySelector<BringBack>('fp-bring-back');

export class BringBack extends View {
  private doubled: Doubled | null = null;
  private rows: TakenOffRow[] = [];

  double(doubled: Doubled): void {
    this.doubled = doubled;
    this.rows = [];
    this.show();
  }
  choose(rows: TakenOffRow[]): void {
    this.doubled = null;
    this.rows = rows;
    this.show();
  }

  private show(): void {
    this.requestUpdate();
    void this.updateComplete.then(() => this.dialog?.showModal());
  }
  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog');
  }

  protected override render(): TemplateResult {
    return html`<dialog class="which" aria-labelledby="back-title" @close=${() => { this.doubled = null; this.rows = []; this.requestUpdate(); }}>
      ${this.doubled !== null ? this.doubles(this.doubled) : this.rows.length > 0 ? this.which() : nothing}</dialog>`;
  }

  private doubles({ rowKeys, doubles, carry }: Doubled): TemplateResult {
    const twice = new Set(doubles.map(({ rowKey }) => rowKey));
    const others = rowKeys.filter((key) => !twice.has(key));
    return html`<h2 id="back-title">${twice.size === 1 ? 'This row would stand twice' : `${twice.size.toLocaleString('en-US')} rows would stand twice`}</h2>
      <ul class="plain">${doubles.slice(0, MOST_LISTED).map(({ words, other, otherWords, same }) => html`<li class="row between which-row"><span>${words}<br />
        <span class="soft">${same} as ${otherWords}${other == null ? ', which would come back too' : ', on the record now'}</span></span>
        ${other == null ? nothing : html`<button type="button" @click=${() => this.open(other)}>Open that one</button>`}</li>`)}</ul>
      ${doubles.length > MOST_LISTED ? html`<p class="soft">and ${(doubles.length - MOST_LISTED).toLocaleString('en-US')} more</p>` : nothing}
      <p>A tag or EID that two rows carry at once names neither of them for sure.</p>
      <div class="row end"><button type="button" @click=${() => this.dialog?.close()}>Leave ${twice.size === 1 ? 'it' : 'them'} off</button>
        ${others.length === 0 ? nothing : html`<button type="button" @click=${() => this.does(carry, others)}>Bring back the other ${others.length.toLocaleString('en-US')}</button>`}
        <button type="button" @click=${() => this.does(carry, rowKeys)}>${rowKeys.length === 1 ? 'Bring it back all the same' : `Bring all ${counted(rowKeys.length, 'row')} back`}</button></div>`;
  }

  private which(): TemplateResult {
    return html`<h2 id="back-title">Which was meant?</h2>
      ${this.rows.map(({ sheet, rowKey, words }) => html`<div class="row between which-row"><span>${words}</span>
        <button type="button" class="primary" @click=${() => { this.dialog?.close(); void bringBack(sheet, [rowKey]).catch((cause: unknown) => app.trouble(cause)); }}>${bringBackWords(sheet)}</button></div>`)}
      <div class="row end"><button type="button" @click=${() => this.dialog?.close()}>Close</button></div>`;
  }

  private open(place: LinkedPlace): void {
    this.dialog?.close();
    location.hash = format(route('sheet', place.sheet, place.rowKey, place.column));
  }

  private does(carry: Carry, rowKeys: number[]): void {
    this.dialog?.close();
    void carry(rowKeys).catch((cause: unknown) => app.trouble(cause));
  }
}

customElements.define('fp-bring-back', BringBack);
