/**
 * The first screen: four doors, and the books kept on this device.
 *
 * Enters: the list of books and samples. Leaves: an open book.
 * Always true: removing a book asks first and says that it cannot be undone.
 * Never: opens anything by itself.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { bringing } from '../bring-in/bringing.ts';
import { route } from '../route.ts';
import { saveCopy } from '../save-copy.ts';
import { when } from '../shell/top-line.ts';
import { counted, View } from '../view.ts';
import { openSample, samples, type Sample } from './samples.ts';
import type { BookMeta } from '../../store/device.ts';

export class Start extends View {
  private removing: BookMeta | undefined;

  override connectedCallback(): void {
    super.connectedCallback();
    // Titles and times may have changed since the list was read.
    if (this.app.phase === 'ready') void this.app.listBooks().catch((cause) => this.app.trouble(cause));
  }

  protected override render(): TemplateResult {
    const all = samples();
    return html`<div class="reading start">
      <h1>Whose calves did better, fairly?</h1>
      <p class="lead">Weights go in. Fair weights, groups and an honest comparison come out. Everything stays on this device.</p>
      <div class="doors">
        <section class="door" aria-labelledby="door-sample"><h2 id="door-sample">Try a sample</h2>
          <p>An invented herd, ready to look at.</p>
          ${all.slice(0, 1).map((sample) => this.sample(sample, 'primary'))}
          ${all.length > 1 ? html`<details><summary>${counted(all.length - 1, 'more sample')}</summary>${all.slice(1).map((sample) => this.sample(sample, ''))}</details>` : nothing}
        </section>
        <section class="door" aria-labelledby="door-file"><h2 id="door-file">Bring in a file</h2>
          <p>A CSV or spreadsheet file from any program, or a book saved from here. You can also drop it anywhere on this page.</p>
          <p><button type="button" class="primary" @click=${() => bringing.choose()}>Choose a file</button></p>
          <p class="soft">You see what was understood before anything changes.</p>
        </section>
        <section class="door" aria-labelledby="door-paste"><h2 id="door-paste">Paste</h2>
          <p>Copy rows with their header from a spreadsheet and paste them here.</p>
          <label for="paste" class="unseen">Rows to paste</label>
          <textarea id="paste" rows="3" spellcheck="false" placeholder="tag, sex, birth date, weaning weight ..."></textarea>
          <p><button type="button" class="primary" @click=${this.pasted}>Look at these rows</button></p>
        </section>
        <section class="door" aria-labelledby="door-type"><h2 id="door-type">Start typing</h2>
          <p>An empty sheet of calves. Type a tag and go on from there.</p>
          <p><button type="button" class="primary" @click=${this.empty}>Start an empty book</button></p>
        </section>
      </div>
      <p role="status" class="soft">${this.underWay}</p>
      ${this.kept()}
      <p class="soft">${this.keeping()}</p>
    </div>`;
  }

  private sample(sample: Sample, kind: string): TemplateResult {
    return html`<p class="sample"><button type="button" class=${kind} ?disabled=${this.underWay !== ''} @click=${() => this.openSample(sample)}>Open "${sample.title}"</button>
      <span class="soft">${sample.about}</span></p>`;
  }

  private kept(): TemplateResult | typeof nothing {
    const { books, book } = this.app;
    if (books.length === 0) return nothing;
    return html`<section aria-labelledby="kept"><h2 id="kept">Books on this device</h2>
      <ul class="books">${books.map((one) => html`<li>
        <span class="book"><strong>${one.id === book?.id ? this.app.state?.title ?? one.title : one.title}</strong>
          <span class="soft">${one.sample ? 'invented sample, ' : ''}${one.id === book?.id ? 'open now' : `saved ${when(one.savedAt)}`}</span></span>
        <span class="row">
          <button type="button" class="primary" @click=${() => this.open(one)}>Open</button>
          <button type="button" @click=${() => this.copy(one)}>Save a copy</button>
          <button type="button" @click=${() => this.ask(one)}>Remove</button>
        </span></li>`)}</ul>
      <dialog class="small" aria-labelledby="remove-title" @close=${() => { this.removing = undefined; }}>
        <h2 id="remove-title">Remove "${this.removing?.title ?? ''}" from this device?</h2>
        <p>This cannot be undone. A copy you saved as a file stays where it is.</p>
        <div class="row end">
          <button type="button" @click=${() => this.dialog?.close()}>Keep it</button>
          <button type="button" class="danger" @click=${this.removeNow}>Remove it</button>
        </div>
      </dialog></section>`;
  }

  private keeping(): string {
    if (this.app.where === 'memory') return 'This browser does not keep books. Save a copy as a file before you close the tab.';
    if (this.app.keeping === 'promised') return 'This browser has promised to keep these books. A saved copy is still the safest.';
    return 'This browser may clear what it keeps when space runs short or after a long time unused. Save a copy as a file now and then.';
  }

  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog');
  }

  private openSample(sample: Sample): Promise<void> {
    return this.during(`Opening "${sample.title}".`, () => openSample(sample));
  }

  private open(book: BookMeta): Promise<void> {
    return this.during(`Opening "${book.title}".`, () => this.app.openBook(book.id));
  }

  private copy(book: BookMeta): Promise<void> {
    return this.during('Saving a copy.', async () => {
      if (this.app.book?.id !== book.id) await this.app.openBook(book.id, false);
      await saveCopy();
    });
  }

  private ask(book: BookMeta): void {
    this.removing = book;
    this.requestUpdate();
    this.dialog?.showModal();
  }

  private readonly removeNow = (): void => {
    const book = this.removing;
    this.dialog?.close();
    if (book !== undefined) void this.during('Removing.', () => this.app.removeBook(book.id));
  };

  private readonly pasted = (): void => {
    const text = this.querySelector<HTMLTextAreaElement>('#paste')?.value ?? '';
    if (text.trim() === '') {
      this.app.tell('There is nothing to look at yet. Paste rows with a header line first.', true);
      return;
    }
    void bringing.text('pasted rows', text);
  };

  private readonly empty = (): void => {
    void this.during('Starting a book.', async () => {
      await this.app.createBook('My herd');
      this.app.go(route('sheet', 'calves'));
    });
  };
}

customElements.define('fp-start', Start);
