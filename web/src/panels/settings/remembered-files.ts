/**
 * The files of which the book remembers how they are read.
 *
 * Enters: the ways the book remembers. Leaves: the word to forget one, which can be undone like any other change.
 * Always true: shows every way, with what it does.
 * Never: changes a way; a file that comes in otherwise does.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { RememberedFile } from '../../engine/generated/core.js';
import { dayInWords } from '../days.ts';
import { Answer, View, waiting } from '../view.ts';

export class RememberedFiles extends View {
  private readonly files = new Answer<RememberedFile[]>(this);

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const files = this.files.follow(`${book.id} ${state.revision}`, () => this.app.engine.askLatest('remembered', 'remembered', {}));
    return html`<h2 id="remembered-title">Files read as before</h2>
      ${files === undefined ? waiting(this.files, 'the files')
        : files.length === 0 ? html`<p class="soft">None yet. When you bring in a file and change how it is read, the next file with the same headers is read that way from the start.</p>`
          : html`<ul class="plain remembered-files" aria-labelledby="remembered-title">${files.map((file) => this.file(file))}</ul>`}`;
  }

  private file(file: RememberedFile): TemplateResult {
    return html`<li><details><summary>${file.part === '' ? nothing : html`Sheet <strong>${file.part}</strong>, `}<strong>${file.headers.slice(0, 5).join(', ')}</strong>${file.headers.length > 5 ? ` and ${file.headers.length - 5} more` : nothing}</summary>
        <p class="soft">As in "${file.fileName}"${file.on === '' ? nothing : ` on ${dayInWords(file.on)}`}. Its rows go to ${file.sheet}.</p>
        <ul>${file.choices.map((choice) => html`<li>${choice}</li>`)}</ul></details>
      <button type="button" ?disabled=${this.app.readOnly} aria-label=${`Forget how files with ${file.headers.slice(0, 3).join(', ')} are read`} @click=${() => this.forget(file.key)}>Forget</button></li>`;
  }

  private forget(key: string): void {
    void this.app.change({ do: 'forget', key }).then(
      () => this.app.tell('Forgotten. The next such file is looked at anew.'),
      (cause) => this.app.trouble(cause),
    );
  }
}

customElements.define('fp-remembered-files', RememberedFiles);
