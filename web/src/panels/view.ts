/**
 * The ground of every panel: an element of the page that is drawn anew when anything it shows may differ.
 *
 * Enters: the page's state. Leaves: light markup, so that one style sheet and one document hold it all.
 * Always true: text goes in through lit bindings, which escape it.
 * Never: writes markup from data.
 */
import { html, LitElement, type TemplateResult } from 'lit';
import { app } from './app.ts';
import { words } from './app.ts';

export abstract class View extends LitElement {
  protected readonly app = app;
  /** What is being done and not yet done, in words; '' when nothing is. */
  protected underWay = '';
  private readonly again = (): void => this.requestUpdate();

  protected override createRenderRoot(): HTMLElement {
    return this;
  }
  override connectedCallback(): void {
    super.connectedCallback();
    this.app.addEventListener('change', this.again);
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.app.removeEventListener('change', this.again);
  }

  /** Does something that takes a while: says so meanwhile, and says what went wrong. */
  protected async during(what: string, act: () => Promise<void>): Promise<void> {
    this.underWay = what;
    this.requestUpdate();
    try {
      await act();
    } catch (cause) {
      this.app.trouble(cause);
    }
    this.underWay = '';
    this.requestUpdate();
  }
}

/** An answer that is asked for again when the book changes; the old one stays on the page meanwhile. */
export class Answer<T> {
  value: T | undefined;
  failure = '';
  private stamp = '';

  constructor(private readonly view: View) {}

  /** Call while drawing. */
  follow(stamp: string, ask: () => Promise<T>): T | undefined {
    if (stamp !== this.stamp) {
      this.stamp = stamp;
      ask().then(
        (value) => { if (this.stamp === stamp) this.settle(value, ''); },
        (cause) => { if (this.stamp === stamp) this.settle(undefined, words(cause)); },
      );
    }
    return this.value;
  }

  private settle(value: T | undefined, failure: string): void {
    this.value = value;
    this.failure = failure;
    this.view.requestUpdate();
  }
}

/** What stands where an answer is not there yet, or could not be had. */
export function waiting(answer: Answer<unknown>, what: string): TemplateResult {
  return answer.failure === ''
    ? html`<p class="soft" role="status">Working out ${what}.</p>`
    : html`<p class="caution" role="alert">${answer.failure}</p>`;
}

/** "1 calf", "12 calves". */
export function counted(n: number, one: string, many = `${one}s`): string {
  return `${n.toLocaleString('en-US')} ${n === 1 ? one : many}`;
}

/** Saves bytes or text under a name, as the browser's download. */
export function download(name: string, content: BlobPart, type: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** A name fit for a file. */
export function fileName(title: string, end: string): string {
  const plain = title.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '');
  return `${plain === '' ? 'book' : plain}${end}`;
}
