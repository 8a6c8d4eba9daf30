/**
 * The page's side of the two workers.
 *
 * Enters: requests of the page. Leaves: their answers as promises, progress, and the news that the engine stopped.
 * Always true: an answer goes to the request with its number; of a row of like requests only the last is answered.
 * Never: holds data of record.
 */
import analysisSource from 'worker:engine/analysis-worker.ts';
import bookSource from 'worker:engine/book-worker.ts';
import { coreModule } from '../embed/core-module.ts';
import { LongActs, type LongAct } from './long-acts.ts';
import { startWorker } from '../embed/start-worker.ts';
import type { CompareRequest } from './generated/core.js';
import {
  Refused, type AnalysisCall, type AnalysisCalls, type Ask, type BookCall, type BookCalls, type Changed, type FromWorker, type Opened, type Start,
} from './protocol.ts';
import type { Contents } from '../store/in-memory.ts';

/** A later request of the same kind took this one's place. */
export class Stale extends Error {}
/** The person stopped the work. */
export class Ended extends Error {
  constructor(words = 'Stopped. Nothing was changed.') {
    super(words);
  }
}

export interface Progress { done: number; of: number; rows: number; words?: string }
interface Waiting { call: string; resolve(answer: never): void; reject(cause: Error): void; progress?: ((progress: Progress) => void) | undefined }
/** What the page hears without having asked; `act`: a long act began or ended. */
type FromBookWorker = Extract<FromWorker, { kind: 'askedFor' | 'saved' | 'remark' }>;
export type Between = FromBookWorker | { kind: 'act' };
type StoppedMessage = Extract<FromWorker, { kind: 'stopped' }>;

/** One worker with its open questions. */
class Line<C extends string> {
  private readonly waiting = new Map<number, Waiting>();
  private readonly worker: Worker;
  readonly started: Promise<{ version: string; where: 'device' | 'memory' }>;
  private static next = 1;

  constructor(source: string, name: string, held: Contents | null, private readonly stopped: (message: StoppedMessage) => void, private readonly between: (message: FromBookWorker) => void = () => undefined) {
    this.worker = startWorker(source, name);
    this.started = new Promise((resolve, reject) => {
      this.worker.onerror = (event) => {
        const cause = new Error(event.message || 'The engine could not start in this browser.');
        reject(cause);
        this.end(cause);
      };
      this.worker.onmessage = (event: MessageEvent<FromWorker>) => {
        if (event.data.kind === 'started') resolve(event.data);
        else if (event.data.kind === 'askedFor' || event.data.kind === 'saved' || event.data.kind === 'remark') this.between(event.data);
        else this.heard(event.data);
      };
    });
    this.started.catch(() => undefined);
    coreModule().then(
      (module) => this.worker.postMessage({ kind: 'start', module, held } satisfies Start),
      (cause: Error) => this.worker.onerror?.(new ErrorEvent('error', { message: cause.message })),
    );
  }

  ask(call: C, asked: unknown, progress?: (progress: Progress) => void): Promise<never> {
    const id = Line.next++;
    return new Promise((resolve, reject) => {
      this.waiting.set(id, { call, resolve, reject, progress });
      // The core must be there before the first request; waiting keeps their order.
      this.started.then(() => this.worker.postMessage({ kind: 'ask', id, call, with: asked } satisfies Ask<C>), () => undefined);
    });
  }

  end(cause: Error): void {
    this.worker.terminate();
    for (const { reject } of this.waiting.values()) reject(cause);
    this.waiting.clear();
  }

  private heard(message: Exclude<FromWorker, { kind: 'started' | FromBookWorker['kind'] }>): void {
    const asked = this.waiting.get(message.id);
    if (message.kind === 'progress') {
      asked?.progress?.(message);
      return;
    }
    this.waiting.delete(message.id);
    if (message.kind === 'answer') asked?.resolve(message.answer as never);
    else if (message.kind === 'refused') asked?.reject(new Refused(message.refusal));
    else {
      asked?.reject(new Error('The engine stopped while doing this. It was started again; this change was set aside.'));
      this.stopped(message);
    }
  }
}

export class Engine {
  private book: Line<BookCall>;
  private analysis: Line<AnalysisCall> | undefined;
  private analysed = -1;
  private openBook = '';
  private readonly latest = new Map<string, number>();
  private restarts = 0;
  private readonly acts = new LongActs(() => this.between({ kind: 'act' }));
  /** Questions wait until a worker that was started again has its book. */
  private reopened: Promise<unknown> = Promise.resolve();
  /** The book that is being opened. */
  private opening = '';

  /** `restarted` tells that the engine stopped and runs again, with the book as it was kept (`what` is empty when she stopped it); `between` what the worker says unasked. */
  constructor(private readonly restarted: (opened: Opened | undefined, what: string) => void, private readonly between: (message: Between) => void) {
    this.book = this.line(null);
  }

  get started(): Promise<{ version: string; where: 'device' | 'memory' }> {
    return this.book.started;
  }

  async ask<C extends BookCall>(call: C, asked: BookCalls[C]['ask'], progress?: (progress: Progress) => void): Promise<BookCalls[C]['answer']> {
    await this.reopened;
    const ended = this.acts.begin(call);
    if (call === 'open') this.opening = (asked as BookCalls['open']['ask']).id;
    let answer: BookCalls[C]['answer'];
    try {
      answer = await this.book.ask(call, asked, progress);
    } finally {
      ended();
    }
    if (call === 'bringBack' || call === 'undo' || call === 'redo') {
      if ('opened' in (answer as Changed) || call === 'bringBack') this.forgetAnalysis();
    } else if (call === 'open' || call === 'create' || call === 'openCopy' || (call === 'takeOver' && answer !== null)) {
      this.openBook = (answer as Opened).book.id;
      this.restarts = 0;
      this.forgetAnalysis();
    }
    return answer;
  }

  /** What the engine has been at for more than a moment. */
  get longAct(): LongAct | undefined {
    return this.acts.shown;
  }

  /** Ends the book worker in the middle of what it is at. The book is read anew as it was last saved. */
  async stop(): Promise<void> {
    const act = this.acts.shown;
    if (act === undefined) return;
    // A book whose own opening was stopped is left closed.
    const back = act.call === 'open' && this.opening === this.openBook ? '' : this.openBook;
    this.openBook = back;
    this.forgetAnalysis();
    this.book.end(new Ended('Stopped. The book stands as it was last saved.'));
    this.book = this.line(null);
    const opening = back === '' ? Promise.resolve(undefined) : this.book.ask('open', { id: back, carefully: false, again: true }).then((opened: Opened) => opened, () => undefined);
    this.reopened = opening;
    const ended = this.acts.begin('open');
    const opened = await opening;
    ended();
    this.restarted(opened, '');
  }

  /** Like `ask`, but a later request of the same `kind` makes this one reject with `Stale`. */
  async askLatest<C extends BookCall>(kind: string, call: C, asked: BookCalls[C]['ask']): Promise<BookCalls[C]['answer']> {
    const turn = (this.latest.get(kind) ?? 0) + 1;
    this.latest.set(kind, turn);
    const fresh = (): void => {
      if (this.latest.get(kind) !== turn) throw new Stale();
    };
    try {
      const answer = await this.ask(call, asked);
      fresh();
      return answer;
    } catch (cause) {
      fresh();
      throw cause;
    }
  }

  /** Compares on a copy of the book. Ended by `stopComparing`, and by the next comparison. */
  async compare(request: CompareRequest, revision: number, step: (words: string) => void = () => undefined): Promise<AnalysisCalls['compare']['answer']> {
    if (this.comparing > 0) this.stopComparing();
    this.comparing += 1;
    try {
      this.analysis ??= new Line<AnalysisCall>(analysisSource, 'analysis', null, () => this.forgetAnalysis());
      const line = this.analysis;
      if (this.analysed !== revision) {
        const copy = await this.ask('save', {});
        if (line !== this.analysis) throw new Ended();
        await line.started;
        await line.ask('load', copy);
        this.analysed = copy.revision;
      }
      const answer: AnalysisCalls['compare']['answer'] = await line.ask('compare', { request }, (progress) => step(progress.words ?? ''));
      return answer;
    } finally {
      this.comparing -= 1;
    }
  }
  private comparing = 0;

  stopComparing(): void {
    this.analysis?.end(new Ended());
    this.forgetAnalysis();
  }

  private forgetAnalysis(): void {
    this.analysis?.end(new Ended());
    this.analysis = undefined;
    this.analysed = -1;
  }

  private line(held: Contents | null): Line<BookCall> {
    return new Line<BookCall>(bookSource, 'book', held, (message) => void this.again(message), (message) => this.between(message));
  }

  private async again(message: StoppedMessage): Promise<void> {
    this.book.end(new Error('The engine stopped and was started again. Please repeat this.'));
    this.book = this.line(message.held);
    this.restarts += 1;
    const what = `The engine stopped (${message.call}).`;
    if (this.openBook === '' || this.restarts > 30) {
      this.restarted(undefined, what);
      return;
    }
    try {
      // After a stop while opening, the records are played one by one to find the one that does it.
      const carefully = message.call === 'open';
      const line = this.book;
      const opening = line.ask('open', { id: this.openBook, carefully, again: true });
      this.reopened = (opening as Promise<unknown>).catch(() => undefined);
      const opened = await opening.catch((cause: unknown) => {
        // Another stop has its own restart; anything else leaves the book closed, and is said.
        if (line === this.book) this.restarted(undefined, `${what} ${cause instanceof Error ? cause.message : ''}`);
        return undefined;
      });
      if (opened !== undefined) this.restarted(opened, what);
    } catch (cause) {
      this.restarted(undefined, `${what} ${cause instanceof Error ? cause.message : ''}`);
    }
  }
}
