// What enters: the page as the build laid it out. What leaves: both workers running the core.
// Always true: the line on the page says what is really running.
// Never: shows a version that a worker did not report.

import analysisWorker from 'worker:engine/analysis-worker.ts';
import bookWorker from 'worker:engine/book-worker.ts';
import { coreModule } from './embed/core-module.ts';
import { keepForOffline } from './embed/offline.ts';
import { startWorker } from './embed/start-worker.ts';

async function started(source: string, name: string): Promise<string> {
  const worker = startWorker(source, name);
  const module = await coreModule();
  return new Promise((resolve, reject) => {
    worker.onmessage = (event: MessageEvent<{ version: string }>) => resolve(event.data.version);
    worker.onerror = (event) => reject(new Error(event.message));
    worker.postMessage({ kind: 'start', module });
  });
}

async function main(): Promise<void> {
  const line = document.querySelector('#engine');
  if (line === null) return;
  try {
    const book = await started(bookWorker, 'book');
    const analysis = await started(analysisWorker, 'analysis');
    line.textContent = `The engine is running: version ${book} for the book, ${analysis} for analyses.`;
  } catch (cause) {
    line.textContent = `The engine could not start. ${cause instanceof Error ? cause.message : ''}`;
  }
  await keepForOffline();
}

void main();
