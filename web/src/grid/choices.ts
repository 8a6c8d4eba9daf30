/**
 * The list of words under the field of a column that has any: coded words, usual words, or names of another sheet.
 *
 * Enters: the field, the column's words or a way to ask for them, what is typed. Leaves: the chosen word, by a call.
 * Always true: the field is a combobox that names its list and the word it points at; the keyboard stays in
 *   the field; what fits what is typed is shown, and any other text may still be typed.
 * Never: changes what is typed unless a word is chosen.
 */
import type { Offer } from './contract.js';

const MOST_HIGH_PX = 264;

/** Asked with what is typed; answered with texts for the cell. */
export type AskOffers = (typed: string) => Promise<Offer[]>;

export class Choices {
  readonly element = document.createElement('div');
  private words: readonly string[] = [];
  private ask: AskOffers | null = null;
  private asked = 0;
  private shown: Offer[] = [];
  private at = -1;

  constructor(private readonly field: HTMLInputElement, private readonly id: string, chosen: (word: string) => void, private readonly placed: () => void) {
    const { element } = this;
    element.id = id;
    element.className = 'fpg-choices';
    element.setAttribute('role', 'listbox');
    element.hidden = true;
    // The field keeps the focus: losing it would accept what stands there.
    element.addEventListener('pointerdown', (event) => event.preventDefault());
    element.addEventListener('click', (event) => {
      const option = event.target instanceof Element ? event.target.closest<HTMLElement>('[role=option]') : null;
      const offer = option ? this.shown[[...element.children].indexOf(option)] : undefined;
      if (offer) chosen(offer.text);
    });
  }

  get offers(): boolean { return this.words.length > 0 || this.ask !== null; }
  /** The word pointed at, if any. */
  get pointed(): string | null { return this.shown[this.at]?.text ?? null; }

  /** Gets ready for a column; without words and names to ask for the field is a plain one. */
  offer(words: readonly string[], label: string, ask: AskOffers | null): void {
    const { field } = this;
    this.words = words;
    this.ask = ask;
    this.asked += 1;
    this.element.setAttribute('aria-label', label);
    if (!this.offers) {
      for (const name of ['role', 'aria-controls', 'aria-expanded', 'aria-autocomplete', 'aria-activedescendant']) field.removeAttribute(name);
      this.element.hidden = true;
      return;
    }
    field.setAttribute('role', 'combobox');
    field.setAttribute('aria-controls', this.id);
    field.setAttribute('aria-autocomplete', 'list');
    // Names are offered once something is typed, or the list is asked for.
    if (ask === null) this.show('');
    else this.list([]);
  }

  /** Words that begin with the text, then those that hold it; all for a blank text. */
  show(typed: string): void {
    if (this.ask !== null) {
      void this.fetch(this.ask, typed);
      return;
    }
    const text = typed.trim().toLowerCase();
    const begins = this.words.filter((word) => word.toLowerCase().startsWith(text));
    const holds = this.words.filter((word) => !begins.includes(word) && word.toLowerCase().includes(text));
    this.list([...begins, ...holds].map((word) => ({ text: word, words: '' })));
  }

  private async fetch(ask: AskOffers, typed: string): Promise<void> {
    this.asked += 1;
    const asked = this.asked;
    const offers = await ask(typed).catch(() => []);
    if (asked !== this.asked) return;
    this.list(offers.filter((offer) => offer.text !== typed));
    this.placed();
  }

  private list(offers: Offer[]): void {
    this.shown = offers;
    this.at = -1;
    this.element.replaceChildren(...this.shown.map((offer, index) => {
      const option = document.createElement('div');
      option.id = `${this.id}-${index}`;
      option.setAttribute('role', 'option');
      option.setAttribute('aria-selected', 'false');
      option.textContent = offer.text;
      if (offer.words !== '') {
        const words = document.createElement('span');
        words.className = 'fpg-choice-words';
        words.textContent = offer.words;
        option.append(' ', words);
      }
      return option;
    }));
    this.element.hidden = this.shown.length === 0;
    this.field.setAttribute('aria-expanded', String(this.shown.length > 0));
    this.point(-1);
  }

  move(step: 1 | -1): void {
    const n = this.shown.length;
    if (n === 0) { this.show(''); return; }
    this.point(this.at < 0 ? (step > 0 ? 0 : n - 1) : (this.at + step + n) % n);
  }

  private point(at: number): void {
    this.at = at;
    [...this.element.children].forEach((option, index) => option.setAttribute('aria-selected', String(index === at)));
    const option = this.element.children[at];
    if (option) {
      this.field.setAttribute('aria-activedescendant', option.id);
      option.scrollIntoView({ block: 'nearest' });
    } else this.field.removeAttribute('aria-activedescendant');
  }

  close(): void {
    this.asked += 1;
    this.element.hidden = true;
    if (this.offers) this.field.setAttribute('aria-expanded', 'false');
    this.field.removeAttribute('aria-activedescendant');
    this.at = -1;
  }

  /** Under the field, or above it where there is more room. */
  place(box: { left: number; top: number; width: number; height: number }, room: { width: number; height: number }): void {
    if (this.element.hidden) return;
    const { style } = this.element;
    const below = room.height - box.top - box.height - 8;
    const above = box.top - 8;
    const down = below >= Math.min(MOST_HIGH_PX, this.element.scrollHeight) || below >= above;
    const high = Math.min(MOST_HIGH_PX, Math.max(96, down ? below : above));
    style.maxHeight = `${high}px`;
    style.minWidth = `${box.width}px`;
    const left = Math.max(4, Math.min(box.left, room.width - this.element.offsetWidth - 4));
    const top = down ? box.top + box.height + 2 : Math.max(4, box.top - 2 - Math.min(high, this.element.offsetHeight));
    style.transform = `translate(${Math.round(left)}px, ${Math.round(top)}px)`;
  }
}
