// What enters: the page as the build laid it out. What leaves: the workbook on the page.
// Always true: the engine starts at once; a sample named in the address (`?sample=two-barns`) is opened.
// Never: asks any other host.

import './theme.css';
import './grid/grid.css';
import './panels/page.css';
import './panels/tables.css';
import './panels/print.css';
import { keepForOffline } from './embed/offline.ts';
import { app, words } from './panels/app.ts';
import { applyTheme } from './panels/shell/theme.ts';
import './panels/shell/shell.ts';
import './panels/start/start.ts';
import './panels/bring-in/bring-in.ts';
import './panels/sheet/sheet.ts';
import './panels/fair/fair.ts';
import './panels/groups/groups.ts';
import './panels/compare/compare.ts';
import './panels/compare/trial.ts';
import './panels/pad/pad.ts';
import './panels/problems/problems.ts';
import './panels/working/working.ts';
import './panels/animal/card.ts';
import './panels/formula/formula.ts';
import './panels/settings/settings.ts';
import './panels/versions/versions.ts';
import './panels/hand-over/hand-over.ts';
import './panels/hand-over/rows.ts';
import { openSample, samples } from './panels/start/samples.ts';

applyTheme();
const room = document.querySelector('#app');
if (room !== null) room.replaceWith(document.createElement('fp-shell'));

async function main(): Promise<void> {
  await app.start();
  const wanted = new URLSearchParams(location.search).get('sample');
  const sample = samples().find((one) => one.key === wanted);
  if (sample !== undefined && app.phase === 'ready' && app.book?.sample !== true) {
    await openSample(sample).catch((cause) => app.tell(words(cause), true));
  }
  await keepForOffline(() => {
    app.newVersion = true;
    app.notify();
  });
}

void main();
