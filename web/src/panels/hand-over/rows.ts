/**
 * The first rows of what goes, exactly as they stand in the book.
 *
 * Enters: column keys and, if not all go, row keys. Leaves: a small table.
 * Always true: shows only columns that go.
 * Never: shows more than the first rows; the count stands beside it.
 */
import { html, type TemplateResult } from 'lit';
import { Answer, View, waiting } from '../view.ts';

const N_ROWS = 6;

interface Rows { labels: string[]; cells: string[][] }

export class HandOverRows extends View {
  static override properties = { keys: { attribute: false }, rowKeys: { attribute: false } };
  keys: string[] = [];
  rowKeys: number[] | undefined;
  private readonly rows = new Answer<Rows>(this);

  protected override render(): TemplateResult {
    const { state } = this.app;
    if (state === undefined || this.keys.length === 0) return html``;
    const rows = this.rows.follow(`${this.app.standing} ${state.revision} ${this.keys.join()} ${this.rowKeys?.length ?? ''}`, () => this.ask());
    if (rows === undefined) return waiting(this.rows, 'the first rows');
    return html`<div class="table-frame" tabindex="0" role="region" aria-label="The first rows, as they go"><table>
      <thead><tr>${rows.labels.map((label) => html`<th scope="col">${label}</th>`)}</tr></thead>
      <tbody>${rows.cells.map((row) => html`<tr>${row.map((cell) => html`<td>${cell}</td>`)}</tr>`)}</tbody></table></div>`;
  }

  private async ask(): Promise<Rows> {
    const infos = await this.app.columns('calves');
    const keys = this.keys.filter((key) => infos.some((info) => info.key === key));
    const { text, rowKeys } = await this.app.engine.ask('window', { sheet: 'calves', first: 0, nRows: N_ROWS, columns: keys });
    const cells = text.split('\u001f');
    return {
      labels: keys.map((key) => infos.find((info) => info.key === key)?.label ?? key),
      cells: [...rowKeys].map((_, row) => cells.slice(row * keys.length, (row + 1) * keys.length)),
    };
  }
}

customElements.define('fp-hand-over-rows', HandOverRows);
