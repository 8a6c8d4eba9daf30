/**
 * What could stand at the cursor of a formula, as a list under the text.
 *
 * Enters: the text and the cursor. Leaves: offers to choose from with the arrow keys, and the function around the cursor.
 * Always true: the likeliest offer stands first and is marked; nothing is put in without a key or a tap.
 * Never: opens by itself where nothing was typed.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { FormulaCompletion, FormulaOffer } from '../../engine/generated/core.js';
import { app } from '../app.ts';

/** More would have to be scrolled; typing on brings the rest. */
const MOST_SHOWN = 8;

const KIND_WORDS: Record<string, string> = { function: 'function', column: 'column', sheet: 'sheet' };

export const LIST_ID = 'formula-offers';

export class CompletionList {
  open = false;
  private active = 0;
  private answer: FormulaCompletion | undefined;

  /** `changed` draws anew; `take` puts an offer in the place of the text from `start` to `end`. */
  constructor(private readonly changed: () => void, private readonly take: (offer: FormulaOffer, start: number, end: number) => void) {}

  get inside(): FormulaCompletion['inside'] {
    return this.answer?.inside;
  }
  get argument(): number {
    return this.answer?.argument ?? 0;
  }
  private get offers(): FormulaOffer[] {
    return this.answer?.offers.slice(0, MOST_SHOWN) ?? [];
  }
  get activeId(): string | undefined {
    return this.open ? `${LIST_ID}-${this.active}` : undefined;
  }

  /** `typing`: the list may open when a word was begun. `asked`: it opens whatever stands there. */
  async follow(sheet: string, text: string, cursor: number, why: 'typing' | 'asked' | 'moving'): Promise<void> {
    try {
      const answer = await app.engine.askLatest('formula complete', 'completeFormula', { sheet, text, cursor });
      this.answer = answer;
      this.active = 0;
      const word = text.slice(answer.start, answer.end);
      // A word that is whole needs no list over what stands below.
      const whole = answer.offers.some((offer) => offer.insert === word);
      this.open = answer.offers.length > 0 && (why === 'asked' || (why === 'typing' && word !== '' && !whole));
      this.changed();
    } catch (cause) {
      app.trouble(cause);
    }
  }

  close(): void {
    if (!this.open) return;
    this.open = false;
    this.changed();
  }

  forget(): void {
    this.answer = undefined;
    this.open = false;
  }

  /** True when the key was meant for the list. */
  key(event: KeyboardEvent): boolean {
    if (!this.open || event.isComposing || event.ctrlKey || event.metaKey || event.altKey) return false;
    const n = this.offers.length;
    switch (event.key) {
      case 'ArrowDown': this.active = (this.active + 1) % n; break;
      case 'ArrowUp': this.active = (this.active + n - 1) % n; break;
      case 'Escape': this.open = false; break;
      case 'Enter': case 'Tab': {
        if (event.shiftKey) return false;
        const offer = this.offers[this.active];
        if (offer !== undefined) this.choose(offer);
        return true;
      }
      default: return false;
    }
    this.changed();
    return true;
  }

  private choose(offer: FormulaOffer): void {
    const { answer } = this;
    if (answer === undefined) return;
    this.open = false;
    this.take(offer, answer.start, answer.end);
  }

  render(): TemplateResult {
    const more = (this.answer?.offers.length ?? 0) - this.offers.length;
    return html`<ul class="formula-offers plain" id=${LIST_ID} role="listbox" aria-label="What could stand here" ?hidden=${!this.open}>
      ${this.offers.map((offer, index) => html`<li role="option" id=${`${LIST_ID}-${index}`} aria-selected=${String(index === this.active)}
        @pointerdown=${(event: Event) => event.preventDefault()} @click=${() => this.choose(offer)}>
        <span class="formula-code">${offer.kind === 'function' ? offer.detail : offer.name}</span>
        <span class="soft">${offer.kind === 'function' ? '' : `${KIND_WORDS[offer.kind] ?? ''}${offer.detail === '' ? '' : `: ${offer.detail}`}`}</span>
        ${index === this.active && offer.help !== '' ? html`<span class="formula-offer-help">${offer.help}</span>` : nothing}</li>`)}
    </ul>
    <p class="unseen" role="status">${this.open ? `${this.offers.length} offers${more > 0 ? `, ${more} more when you type on` : ''}. Arrow keys choose, Tab or Enter takes.` : ''}</p>`;
  }
}
