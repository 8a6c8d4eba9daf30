/**
 * A picture with its reading and its table.
 *
 * Enters: a drawing, one line that reads it, the same numbers as a table. Leaves: SVG and PNG files.
 * Always true: the room is taken before the picture is drawn, so nothing jumps; the table is one key away.
 * Never: works out a number of its own.
 */
import { html, LitElement, nothing, type TemplateResult } from 'lit';
import type * as PlotModule from '@observablehq/plot';
import { pngFrom, standaloneSvg } from './saving.ts';
import { download, fileName } from '../panels/view.ts';

export type Plot = typeof PlotModule;
export interface Drawing {
  /** In px, known before drawing. */
  height: number;
  draw(plot: Plot, width: number): Element;
}
export interface FigureTable {
  head: readonly string[];
  rows: readonly (readonly string[])[];
  /** Positions of columns that hold numbers. */
  numbers: readonly number[];
}

let made = 0;
let plotModule: Promise<Plot> | undefined;
/** The drawing library, fetched with the first picture and not before. */
const plot = (): Promise<Plot> => (plotModule ??= import('@observablehq/plot'));

export class Figure extends LitElement {
  static override properties = { heading: {}, reading: {}, drawing: { attribute: false }, table: { attribute: false }, below: {}, extra: { attribute: false } };
  heading = '';
  reading = '';
  drawing: Drawing | undefined;
  table: FigureTable | undefined;
  /** A line under the picture that changes with what is chosen; its room is kept. */
  below = '';
  extra: TemplateResult | typeof nothing = nothing;

  private readonly number = (made += 1);
  private asTable = false;
  private width = 0;
  private failure = '';
  private readonly sizes = new ResizeObserver(([entry]) => {
    const width = Math.floor(entry?.contentRect.width ?? 0);
    if (width > 0 && width !== this.width) {
      this.width = width;
      void this.drawNow();
    }
  });

  protected override createRenderRoot(): HTMLElement {
    return this;
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.sizes.disconnect();
    this.width = 0;
  }

  protected override render(): TemplateResult {
    const id = `figure-${this.number}`;
    return html`<figure aria-labelledby="${id}-title">
      <figcaption><h2 id="${id}-title">${this.heading}</h2><p id="${id}-reading" class="reading-line">${this.reading}</p></figcaption>
      ${this.extra}
      <div class="plot" style="min-height:${this.drawing?.height ?? 0}px" ?hidden=${this.asTable}></div>
      ${this.below === '' ? nothing : html`<p class="below" role="status">${this.below}</p>`}
      ${this.failure === '' ? nothing : html`<p class="caution">${this.failure}</p>`}
      ${this.asTable ? this.tableOf() : nothing}
      <div class="row figure-acts">
        <button type="button" class="quiet" aria-expanded=${String(this.asTable)} @click=${this.toggle}>${this.asTable ? 'Show as picture' : 'Show as table'}</button>
        <button type="button" class="quiet" ?hidden=${this.asTable} @click=${() => this.save('svg')}>Save SVG</button>
        <button type="button" class="quiet" ?hidden=${this.asTable} @click=${() => this.save('png')}>Save PNG</button>
      </div></figure>`;
  }

  protected override updated(): void {
    const room = this.querySelector('.plot');
    if (room !== null) this.sizes.observe(room);
    void this.drawNow();
  }

  private async drawNow(): Promise<void> {
    const room = this.querySelector<HTMLElement>('.plot');
    const { drawing, width } = this;
    if (room === null || drawing === undefined || width === 0 || this.asTable) return;
    try {
      const library = await plot();
      if (drawing !== this.drawing || width !== this.width) return;
      const picture = drawing.draw(library, width);
      picture.setAttribute('role', 'img');
      picture.setAttribute('aria-labelledby', `figure-${this.number}-title`);
      picture.setAttribute('aria-describedby', `figure-${this.number}-reading`);
      for (const part of picture.querySelectorAll('[aria-label], [aria-description]')) {
        part.removeAttribute('aria-label');
        part.removeAttribute('aria-description');
      }
      room.replaceChildren(picture);
    } catch {
      this.failure = 'The picture could not be drawn. The table holds the same numbers.';
      this.asTable = true;
      this.requestUpdate();
    }
  }

  private tableOf(): TemplateResult | typeof nothing {
    const { table } = this;
    if (table === undefined) return nothing;
    const kind = (column: number): string => (table.numbers.includes(column) ? 'number' : '');
    return html`<div class="table-frame" tabindex="0" role="region" aria-label="${this.heading}, as a table"><table>
      <thead><tr>${table.head.map((text, column) => html`<th scope="col" class=${kind(column)}>${text}</th>`)}</tr></thead>
      <tbody>${table.rows.map((row) => html`<tr>${row.map((text, column) => column === 0
        ? html`<th scope="row">${text}</th>` : html`<td class=${kind(column)}>${text}</td>`)}</tr>`)}</tbody></table></div>`;
  }

  private readonly toggle = (): void => {
    this.asTable = !this.asTable;
    this.requestUpdate();
  };

  private async save(kind: 'svg' | 'png'): Promise<void> {
    const picture = this.querySelector<SVGSVGElement>('.plot svg');
    if (picture === null) return;
    const text = standaloneSvg(picture, this.heading, this.reading);
    if (kind === 'svg') download(fileName(this.heading, '.svg'), text, 'image/svg+xml');
    else download(fileName(this.heading, '.png'), await pngFrom(text, picture), 'image/png');
  }
}

customElements.define('fp-figure', Figure);
