/**
 * The demo page: the sheet over an invented herd, answered as a host would.
 *
 * Enters: `?rows=` (default 1,000,000), `?theme=`. Leaves: a page to try the sheet and for the browser journeys.
 * Always true: the word "refuse" typed into a cell is refused, to show what refusal looks like.
 * Never: part of the built page.
 */
import './element.js';
import './entry-line.js';
import { DemoSource } from './demo-source.js';

const asked = new URLSearchParams(location.search);
const theme = asked.get('theme');
if (theme) document.documentElement.dataset['theme'] = theme;

const source = new DemoSource(Number(asked.get('rows') ?? 1_000_000));
const sheet = document.querySelector('fp-grid');
const told = document.querySelector('#told');
if (!sheet || !told) throw new Error('the demo page lacks its sheet');
sheet.source = source;

const pause = (ms: number): Promise<void> => new Promise((done) => { setTimeout(done, ms); });
const wait = Number(asked.get('wait') ?? 0);

sheet.addEventListener('fp-edit', ({ detail }) => detail.respondWith((async () => {
  if (wait) await pause(wait);
  if (detail.cells.some((cell) => cell.text === 'refuse')) throw new Error('This was refused: the word "refuse" is not kept.');
  source.apply(detail.cells);
})()));
sheet.addEventListener('fp-append', ({ detail }) => detail.respondWith((async () => {
  if (detail.cells.length) source.apply(detail.cells);
  source.append(detail.rows);
})()));
sheet.addEventListener('fp-undo', () => { told.textContent = source.undo() ? 'Undone.' : 'Nothing to undo.'; sheet.refresh(); });
sheet.addEventListener('fp-redo', () => { told.textContent = source.redo() ? 'Done again.' : 'Nothing to do again.'; sheet.refresh(); });
sheet.addEventListener('fp-sort', ({ detail }) => { source.sort(detail.keys); sheet.refresh(); });
sheet.addEventListener('fp-filter', ({ detail }) => { source.filter(detail.byColumn); sheet.refresh(); });
sheet.addEventListener('fp-working', ({ detail }) => { told.textContent = `How ${detail.column} of row key ${detail.rowKey} was made would be shown here.`; });

document.querySelector('#filters')?.addEventListener('click', (event) => {
  const on = sheet.toggleAttribute('filters');
  (event.currentTarget as HTMLElement).setAttribute('aria-pressed', String(on));
});
document.querySelector('#density')?.addEventListener('click', (event) => {
  const compact = sheet.getAttribute('density') !== 'compact';
  sheet.setAttribute('density', compact ? 'compact' : 'comfortable');
  (event.currentTarget as HTMLElement).setAttribute('aria-pressed', String(compact));
});
