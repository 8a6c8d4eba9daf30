/**
 * The analysis worker: long reckoning on a copy of the book, away from typing.
 *
 * Enters: the compiled core, a snapshot with its revision, requests. Leaves: answers stamped with the revision.
 * Always true: it can be ended at any moment and nothing is lost.
 * Never: changes the book.
 */
import { initSync, Session, type Refusal } from './generated/core.js';
import type { AnalysisCall, AnalysisCalls, Ask, FromWorker, Start } from './protocol.ts';

const scope = self as unknown as DedicatedWorkerGlobalScope;
const say = (message: FromWorker): void => scope.postMessage(message);

let session: Session | undefined;
let revision = -1;

/** A step of the search is told at most this often, in milliseconds. */
const EVERY = 100;

function run(id: number, call: AnalysisCall, asked: unknown): unknown {
  if (call === 'load') {
    const { bytes, revision: stamp } = asked as AnalysisCalls['load']['ask'];
    session?.free();
    session = new Session();
    session.open(bytes);
    revision = stamp;
    return null;
  }
  if (session === undefined || revision < 0) throw new Error('No book was handed to the analysis.');
  const { request } = asked as AnalysisCalls['compare']['ask'];
  let told = 0;
  const step = (done: number, of: number, steps: number, words: string): void => {
    const now = performance.now();
    if (steps > 0 && now - told < EVERY) return;
    told = now;
    say({ kind: 'progress', id, done, of, rows: 0, words: steps > 0 ? `${words}, step ${steps}` : words });
  };
  return { view: session.compare(request, step), revision };
}

scope.onmessage = (event: MessageEvent<Start | Ask<AnalysisCall>>) => {
  const message = event.data;
  if (message.kind === 'start') {
    initSync({ module: message.module });
    session = new Session();
    say({ kind: 'started', version: session.version(), where: 'memory' });
    return;
  }
  const { id, call } = message;
  try {
    say({ kind: 'answer', id, answer: run(id, call, message.with) });
  } catch (cause) {
    if (cause instanceof WebAssembly.RuntimeError) {
      say({ kind: 'stopped', id, call, message: cause.message, held: null });
      return;
    }
    const refusal = cause as Partial<Refusal>;
    say({ kind: 'refused', id, refusal: { code: refusal.code ?? 'page.refused', message: refusal.message ?? String(cause), hint: refusal.hint ?? '' } });
  }
};
