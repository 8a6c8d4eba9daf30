/**
 * A tag or EID typed over while other rows name it: a new name from a day on, or this cell alone.
 *
 * Enters: the cell and what was typed. Leaves: one of the two changes, or none.
 * Always true: what was typed is taken as it stands only where nobody names the old one, or where she says so.
 * Never: changes a row that names the animal.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { NamedByInfo } from '../../engine/generated/core.js';
import { app } from '../app.ts';
import { today } from '../days.ts';
import { View } from '../view.ts';

export interface TypedCell { sheet: string; rowKey: number; column: string; text: string }
interface Asked { cell: TypedCell; by: NamedByInfo; correct: () => Promise<unknown>; settle: (outcome: Promise<unknown>) => void }

/** Whether a column holds names that other rows use. */
export const namesAnimals = (sheet: string, column: string): boolean => ['calves', 'cows', 'bulls'].includes(sheet) && ['tag', 'eid'].includes(column);

/** Makes the change, after asking where other rows name what is typed over. Broken when she takes nothing of it. */
export async function typedOver(cell: TypedCell, correct: () => Promise<unknown>): Promise<unknown> {
  const { sheet, rowKey, column, text } = cell;
  const [by] = await app.engine.ask('namedBy', { sheet, rowKey, column, text });
  const dialog = document.querySelector<TypedOver>('fp-typed-over');
  if (by === undefined || dialog === null) return correct();
  return new Promise((settle) => dialog.ask({ cell, by, correct, settle }));
}

export class TypedOver extends View {
  private asked: Asked | null = null;
  private refusal = '';

  ask(asked: Asked): void {
    this.asked = asked;
    this.refusal = '';
    this.requestUpdate();
    void this.updateComplete.then(() => this.dialog?.showModal());
  }
  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog');
  }

  protected override render(): TemplateResult {
    return html`<dialog class="small typed-over" aria-labelledby="typed-title" @close=${this.closed}>${this.asked === null ? nothing : this.question(this.asked)}</dialog>`;
  }

  private question({ cell, by }: Asked): TemplateResult {
    const text = cell.text.trim();
    const name = cell.column === 'eid' ? 'EID' : 'tag';
    return html`<form class="card-form" @submit=${this.retag}>
      <h2 id="typed-title">${text === '' ? `${by.name} is named elsewhere` : `Give a new ${name} instead?`}</h2>
      <p>${by.title} is named ${by.name} in ${by.words}.</p>
      ${text === '' ? html`<p class="soft">Without it ${by.n === 1 ? 'that row names' : 'those rows name'} nobody on record.</p>`
        : html`<p class="soft">With a new ${name} from a day on, the old one is kept with its days and ${by.n === 1 ? 'that row still finds' : 'those rows still find'} the animal. If ${by.name} was a slip, correct this cell: ${by.n === 1 ? 'that row then names' : 'those rows then name'} nobody until it is corrected there too.</p>
          <label class="field"><span>${text} from</span><input name="from" type="date" required .value=${today()} /></label>`}
      ${this.refusal === '' ? nothing : html`<p class="caution" role="alert">${this.refusal}</p>`}
      <div class="row end"><button type="button" @click=${() => this.dialog?.close()}>Cancel</button>
        <button type="button" @click=${this.correct}>${text === '' ? 'Clear this cell' : 'Just correct this cell'}</button>
        ${text === '' ? nothing : html`<button class="primary">Give the new ${name}</button>`}</div></form>`;
  }

  private readonly retag = (event: SubmitEvent): void => {
    event.preventDefault();
    const { asked } = this;
    if (asked === null || asked.cell.text.trim() === '') return;
    const { sheet, rowKey, column, text } = asked.cell;
    const from = String(new FormData(event.target as HTMLFormElement).get('from') ?? '');
    const done = app.acknowledged(app.engine.ask('retag', { sheet, rowKey, what: column, name: text.trim(), from }));
    done.then(() => {
      this.settle(done);
      app.tell(`The new name is ${text.trim()}; the old one stays on record.`);
    }, (cause: unknown) => {
      this.refusal = cause instanceof Error ? cause.message : String(cause);
      this.requestUpdate();
    });
  };

  private readonly correct = (): void => {
    if (this.asked !== null) this.settle(this.asked.correct());
  };

  private settle(outcome: Promise<unknown>): void {
    const { asked } = this;
    this.asked = null;
    this.dialog?.close();
    asked?.settle(outcome);
  }

  /** Closed without a choice: the cell keeps what stood there. */
  private readonly closed = (): void => {
    const { asked } = this;
    this.asked = null;
    this.requestUpdate();
    asked?.settle(Promise.reject(new Error('Nothing was changed.')));
  };
}

customElements.define('fp-typed-over', TypedOver);
