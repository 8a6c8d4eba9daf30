// What enters: the compiled core and the payload, once; then questions about figures. What leaves: the marks
// of all figures, and workings.
// Always true: nothing is answered before every figure was computed again.
// Never: touches the document or the network.

import { initSync, ResultsReader, version } from '../engine/generated/results.js';
import type { Question, Reply } from './check-protocol.ts';

const scope = self as unknown as DedicatedWorkerGlobalScope;
const reply = (message: Reply): void => scope.postMessage(message);

let reader: ResultsReader | undefined;

function answer(question: Question): void {
  if (question.kind === 'start') {
    initSync({ module: question.module });
    reader = new ResultsReader(question.payload);
    reply({ kind: 'checked', verification: reader.verify(), version: version() });
    return;
  }
  const working =
    question.kind === 'cell'
      ? reader?.working(question.row, question.column)
      : reader?.group_working(question.at);
  reply({ kind: 'working', id: question.id, working: working ?? null });
}

scope.onmessage = (event: MessageEvent<Question>) => {
  try {
    answer(event.data);
  } catch (cause) {
    const said = cause as { message?: unknown };
    reply({ kind: 'failed', message: typeof said.message === 'string' ? said.message : String(cause) });
  }
};
