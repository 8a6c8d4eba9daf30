// What enters: the file's own document and payloads. What leaves: the same document with marks, sorting,
// search and workings.
// Always true: what the document says without scripts is left as it is; if the engine cannot run, the page
// says so and the rest still works.
// Never: asks the network for anything.

import '../theme.css';
import './results.css';

import checkWorker from 'worker:viewer/check-worker.ts';

import { payload, payloadText } from '../embed/payload.ts';
import { startWorker } from '../embed/start-worker.ts';
import { CalfTable } from './calf-table.ts';
import type { Question, Reply } from './check-protocol.ts';
import { makeControls } from './controls.ts';
import { readHandedOver } from './handed-over.ts';
import { makeLook } from './look.ts';
import { markOf, markSign, MARKS, type Letter } from './marks.ts';
import { showVerdict } from './verdict.ts';
import { showWorking } from './working-drawer.ts';

async function main(): Promise<void> {
  const status = document.querySelector<HTMLElement>('#engine');
  const section = document.querySelector<HTMLElement>('#marks');
  const calves = document.querySelector<HTMLTableElement>('#calf-table');
  if (status === null || section === null || calves === null) return;
  document.querySelector('header')?.append(makeLook());
  status.textContent = 'The engine in this file is computing the figures again …';
  try {
    const text = await payloadText('handed-over');
    const given = readHandedOver(text);
    const worker = startWorker(checkWorker, 'check');
    const ask = (question: Question): void => worker.postMessage(question);
    const waiting = new Map<number, Letter | undefined>();
    let id = 0;
    const next = (mark: Letter | undefined): number => {
      id += 1;
      waiting.clear(); // only the last figure asked about is shown
      waiting.set(id, mark);
      return id;
    };
    const controls = makeControls(given, () => table);
    const table = new CalfTable(calves, given, {
      ask: (row, column, mark) => ask({ kind: 'cell', id: next(mark), row, column }),
      shown: (n) => controls.say(n),
    });
    calves.closest('.scroll')?.before(controls.line);
    const fail = (message: string): void => {
      status.className = 'alarm';
      status.textContent = `The figures are as stated; none was computed again. ${message}`;
    };
    worker.onerror = (event) => fail(event.message);
    worker.onmessage = (event: MessageEvent<Reply>) => {
      const reply = event.data;
      if (reply.kind === 'failed') {
        fail(reply.message);
      } else if (reply.kind === 'working') {
        if (reply.working !== null && waiting.has(reply.id)) showWorking(reply.working, waiting.get(reply.id));
      } else {
        const found = reply.verification;
        for (const column of found.columns) table.mark(column.key, column.marks);
        markGroups(found.groups, (at, mark) => ask({ kind: 'group', id: next(mark), at }));
        markComparison(markOf(found.comparison));
        showVerdict(section, status, found, reply.version);
        if (found.differ > 0) controls.offerDiffering();
        document.documentElement.dataset['checked'] = 'true';
      }
    };
    ask({ kind: 'start', module: await WebAssembly.compile(await payload('results.wasm')), payload: text });
  } catch (cause) {
    status.className = 'alarm';
    status.textContent = `The figures are as stated; none was computed again. ${cause instanceof Error ? cause.message : String(cause)}`;
  }
}

function markGroups(letters: string, ask: (at: number, mark: Letter | undefined) => void): void {
  for (const row of document.querySelectorAll<HTMLTableRowElement>('#group-table tr[data-group]')) {
    const at = Number(row.dataset['group']);
    const cell = row.querySelector<HTMLTableCellElement>('td.f');
    const mark = markOf(letters[at]);
    if (cell === null || mark === undefined) continue;
    const button = document.createElement('button');
    button.type = 'button';
    button.className = 'figure';
    button.append(...cell.childNodes, ' ', markSign(mark));
    button.addEventListener('click', () => ask(at, mark));
    cell.append(button);
    cell.classList.toggle('differs', mark === 'x');
  }
}

function markComparison(mark: Letter | undefined): void {
  const line = document.querySelector<HTMLElement>('#comparison-mark');
  if (line === null || mark === undefined) return;
  line.className = `verdict verdict-${mark}`;
  const sign = markSign(mark);
  sign.setAttribute('aria-hidden', 'true');
  line.append(sign, ` This comparison: ${MARKS[mark].name}. ${MARKS[mark].meaning}`);
}

void main();
