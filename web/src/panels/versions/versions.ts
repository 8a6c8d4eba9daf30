/**
 * Earlier versions of the book: listed, looked at, brought back.
 *
 * Enters: the versions on the device. Leaves: an earlier book in the place of this one, a file, a book of its own.
 * Always true: the book as it stands is kept before another takes its place, and the page says so before.
 * Never: lets a version go by itself; the list says how long versions stay and what they take.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import type { VersionList } from '../../engine/book-versions.ts';
import type { BookDifferenceInfo, SheetDifferenceInfo } from '../../engine/generated/core.js';
import { WHOLE_DAYS, type Version, type VersionKind } from '../../store/versions.ts';
import { words } from '../app.ts';
import { route } from '../route.ts';
import { saveCopy } from '../save-copy.ts';
import { Answer, counted, download, fileName, View, waiting } from '../view.ts';

const KINDS: Record<VersionKind, string> = {
  day: 'End of the day',
  import: 'Before a file came in',
  'bring-back': 'Before an earlier version was brought back',
  trouble: 'Before changes that could not be read were set aside',
};

const moment = (at: number): string =>
  new Date(at).toLocaleString(undefined, { weekday: 'short', month: 'short', day: 'numeric', hour: 'numeric', minute: '2-digit', ...(new Date(at).getFullYear() === new Date().getFullYear() ? {} : { year: 'numeric' }) });
const dayName = (at: number): string => new Date(at).toLocaleDateString(undefined, { month: 'short', day: 'numeric', year: 'numeric' });

/** Bytes as people say them. */
export function size(bytes: number): string {
  if (bytes < 1_000_000) return `${Math.max(1, Math.round(bytes / 1_000)).toLocaleString('en-US')} kB`;
  return `${(bytes / 1_000_000).toLocaleString('en-US', { maximumFractionDigits: bytes < 10_000_000 ? 1 : 0 })} MB`;
}

function done(version: Version): string {
  const acts = version.acts.map((act) => (act.n === 1 ? act.words : `${act.words} (${act.n.toLocaleString('en-US')} times)`));
  if (version.more > 0) acts.push(`${counted(version.more, 'further step')}`);
  return acts.length === 0 ? '' : `Done since the version before: ${acts.join('; ')}.`;
}

const rowsOf = (rows: readonly { label: string; n: number }[]): string =>
  rows.length === 0 ? 'No rows yet' : rows.map(({ label, n }) => `${label}: ${counted(n, 'row')}`).join(', ');

export class Versions extends View {
  private readonly list = new Answer<VersionList>(this);
  private readonly differences = new Map<number, BookDifferenceInfo | string>();
  /** Versions whose difference is open to be read: it is looked for anew when the book changes. */
  private readonly looked = new Set<number>();
  private readonly finding = new Set<string>();
  private standing = '';
  private asked: Version | undefined;

  protected override render(): TemplateResult {
    const { app } = this;
    const { state, book } = app;
    if (state === undefined || book === undefined) return html``;
    const stamp = `${app.standing} ${state.revision}`;
    if (stamp !== this.standing) {
      this.standing = stamp;
      this.differences.clear();
    }
    const list = this.list.follow(stamp, () => app.engine.ask('versions', {}));
    return html`<div class="answer"><h1>Earlier versions</h1>
      <p class="lead">The book as it stood at the end of each day you worked on it, before each file came in, and before each version you brought back.</p>
      <p role="status" class="soft">${this.underWay}</p>
      ${list === undefined ? waiting(this.list, 'the list of versions') : this.all(list)}
      <dialog class="small" aria-labelledby="bring-back-title" @close=${() => { this.asked = undefined; this.requestUpdate(); }}>
        <h2 id="bring-back-title">Bring back the book of ${this.asked === undefined ? '' : moment(this.asked.at)}?</h2>
        <p>It takes the place of the book as it stands now. That one is kept as a version first, so nothing is lost: Undo leads back to it, and it stays in this list.</p>
        <div class="row end">
          <button type="button" @click=${() => this.dialog?.close()}>Leave the book as it is</button>
          <button type="button" class="primary" @click=${this.bringBack}>Bring it back</button>
        </div>
      </dialog></div>`;
  }

  private all({ versions, bytes, most, letGo }: VersionList): TemplateResult {
    const { state, where } = this.app;
    const newestFirst = [...versions].reverse();
    const rows = (state?.sheets ?? []).filter((sheet) => sheet.nRows > 0).map((sheet) => ({ label: sheet.label, n: sheet.nRows }));
    return html`
      <ol class="versions" role="list">
        <li class="version now"><div><h2>Now</h2><p class="soft">${rowsOf(rows)}</p></div></li>
        ${repeat(newestFirst, (version) => version.id, (version) => this.one(version))}
      </ol>
      ${versions.length === 0 ? html`<p>No version is kept yet. The first comes when a day ends on which you changed something, or when a file comes in to rows that are there already.</p>` : nothing}
      <h2>How long they stay</h2>
      <p>The last ${WHOLE_DAYS} days on which you worked stay whole, however long ago. Older days are thinned to one a week, then one a month.
        ${versions.length === 0 ? nothing : html`${versions.length === 1 ? 'This version takes' : `These ${versions.length} versions take`} ${size(bytes)} of the ${size(most)} they may take here.`}
        When room runs short the oldest go first.${letGo > 0 ? html` <strong>${counted(letGo, 'version')} went so far for want of room.</strong>` : nothing}</p>
      <p>${where === 'memory' ? 'This browser does not keep books, so these versions end with this tab.' : 'They are kept on this device only, beside the book. If the browser clears its storage they go with it: a copy saved as a file is the safest.'}</p>
      <p class="row"><button type="button" @click=${() => void this.during('Saving a copy.', saveCopy)}>Save the present book as a file</button></p>`;
  }

  private one(version: Version): TemplateResult {
    const acts = done(version);
    const found = this.differences.get(version.id);
    if (found === undefined && this.looked.has(version.id)) queueMicrotask(() => this.find(version));
    const name = moment(version.at);
    return html`<li class="version"><div>
        <h2>${name}</h2>
        <p>${KINDS[version.kind]}. ${acts}</p>
        <p class="soft">${rowsOf(version.rows)}</p>
        <details @toggle=${(event: Event) => this.look(version, (event.target as HTMLDetailsElement).open)}>
          <summary>What differs from now</summary>
          ${found === undefined ? html`<p class="soft">Looking.</p>` : typeof found === 'string' ? html`<p class="caution" role="alert">${found}</p>` : differences(found)}
        </details></div>
      <div class="row" role="group" aria-label="Version of ${name}">
        <button type="button" class="primary" ?disabled=${this.app.readOnly || this.underWay !== ''} @click=${() => this.ask(version)}>Bring back</button>
        <button type="button" ?disabled=${this.underWay !== ''} @click=${() => this.save(version)}>Save as a file</button>
        <button type="button" ?disabled=${this.underWay !== ''} @click=${() => this.openBeside(version)}>Open as a book of its own</button>
      </div></li>`;
  }

  private get dialog(): HTMLDialogElement | null {
    return this.querySelector('dialog');
  }

  private look(version: Version, open: boolean): void {
    if (open) this.looked.add(version.id);
    else this.looked.delete(version.id);
    if (open) this.find(version);
  }

  private find(version: Version): void {
    const { standing } = this;
    const asked = `${standing} ${version.id}`;
    if (this.differences.has(version.id) || this.finding.has(asked)) return;
    this.finding.add(asked);
    const settle = (found: BookDifferenceInfo | string): void => {
      this.finding.delete(asked);
      if (this.standing !== standing) return;
      this.differences.set(version.id, found);
      this.requestUpdate();
    };
    this.app.engine.ask('versionDifference', { id: version.id }).then(settle, (cause) => settle(words(cause)));
  }

  private ask(version: Version): void {
    this.asked = version;
    this.requestUpdate();
    void this.updateComplete.then(() => this.dialog?.showModal());
  }

  private readonly bringBack = (): void => {
    const version = this.asked;
    this.dialog?.close();
    if (version === undefined) return;
    void this.during(`Bringing back the book of ${moment(version.at)}.`, async () => {
      await this.app.bringBack(version.id);
      this.app.tell(`The book of ${moment(version.at)} is back. Undo leads to the book as it stood before.`);
    });
  };

  private save(version: Version): void {
    void this.during('Saving the version as a file.', async () => {
      const { bytes, title } = await this.app.engine.ask('versionBytes', { id: version.id });
      download(fileName(`${title} ${dayName(version.at)}`, '.zip'), bytes, 'application/zip');
      this.app.tell('The version was saved with your downloads.');
    });
  }

  private openBeside(version: Version): void {
    void this.during('Opening the version as a book of its own.', async () => {
      const { bytes, title } = await this.app.engine.ask('versionBytes', { id: version.id });
      await this.app.openCopy({ name: title, bytes, title: `${title}, ${dayName(version.at)}` });
      this.app.go(route('fair'));
      this.app.tell('It was opened as a book of its own. The other book stays as it is, under Books.');
    });
  }
}

function differences({ sheets, settings }: BookDifferenceInfo): TemplateResult {
  const lines = sheets.map(sheetDifference).filter((line) => line !== '');
  if (settings) lines.push('The settings or the name of the book differ.');
  if (lines.length === 0) return html`<p>Nothing: the book stands as it did then.</p>`;
  return html`<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul>${sheets.map(cellsOf)}`;
}

const some = (names: readonly string[], n: number): string =>
  `${names.join(', ')}${n > names.length ? ` and ${(n - names.length).toLocaleString('en-US')} more` : ''}`;

/** What the cells said then and say now. */
function cellsOf({ label, cells, nCells, nThen }: SheetDifferenceInfo): TemplateResult | typeof nothing {
  if (nCells === 0 || nThen === 0) return nothing;
  return html`<div class="table-frame" tabindex="0" role="group" aria-label="Cells of ${label} that differ"><table>
    <thead><tr><th scope="col">${label}</th><th scope="col">Column</th><th scope="col">Then</th><th scope="col">Now</th></tr></thead>
    <tbody>${cells.map((cell) => html`<tr><th scope="row">${cell.row}</th><td>${cell.column}</td><td>${cell.then === '' ? 'blank' : cell.then}</td><td>${cell.now === '' ? 'blank' : cell.now}</td></tr>`)}</tbody></table></div>
    ${nCells > cells.length ? html`<p class="soft">and ${(nCells - cells.length).toLocaleString('en-US')} more cells</p>` : nothing}`;
}

/** How many rows are alike, and which came or went. */
function sheetDifference({ label, nThen, nNow, nSame, gone, nGone, came, nCame, columnsThen, columnsNow, formulas }: SheetDifferenceInfo): string {
  const [only, since] = [nThen - nSame, nNow - nSame];
  const parts: string[] = [];
  if (only > 0 || since > 0) {
    parts.push(`${counted(nThen, 'row')} then, ${nNow.toLocaleString('en-US')} now`);
    parts.push(`${counted(nSame, 'row')} alike`);
    if (only > 0) parts.push(`${counted(only, 'row')} only as ${only === 1 ? 'it' : 'they'} stood then`);
    if (since > 0) parts.push(`${counted(since, 'row')} changed or added since`);
  }
  if (nGone > 0) parts.push(`not there now: ${some(gone, nGone)}`);
  if (nCame > 0) parts.push(`not there then: ${some(came, nCame)}`);
  if (columnsThen.length > 0) parts.push(`columns that are gone: ${columnsThen.join(', ')}`);
  if (columnsNow.length > 0) parts.push(`new columns: ${columnsNow.join(', ')}`);
  if (formulas.length > 0) parts.push(`another formula in ${formulas.join(', ')}`);
  return parts.length === 0 ? '' : `${label}: ${parts.join('; ')}.`;
}

customElements.define('fp-versions', Versions);
