// Lines put before the source of the book worker, which is started from its text.
//
// Enters: a browser context and lines. Leaves: pages whose book worker runs them first.
// Always true: the lines stand for what the world does to the page: a bug, a full disk, the next day.
// Never: changes the page's own code.

/** Puts `lines` before the source of the first `nWorkers` book workers of every page. */
export function beforeTheWorker(context, lines, nWorkers = Infinity) {
  return context.addInitScript(([text, most]) => {
    const Plain = Blob;
    let n = 0;
    globalThis.Blob = class extends Plain {
      constructor(parts, options) {
        const worker = options?.type === 'text/javascript' && typeof parts[0] === 'string' && parts[0].includes('importCommit');
        if (worker) n += 1;
        super(worker && n <= most ? [text, ...parts] : parts, options);
      }
    };
  }, [lines, nWorkers === Infinity ? 1e9 : nWorkers]);
}

/** The worker's clock runs as many days ahead as `daysAhead` in the page's local storage says when it starts. */
export function onLaterDays(context) {
  return context.addInitScript(() => {
    const Plain = Blob;
    globalThis.Blob = class extends Plain {
      constructor(parts, options) {
        const worker = options?.type === 'text/javascript' && typeof parts[0] === 'string' && parts[0].includes('importCommit');
        const days = Number(localStorage.getItem('daysAhead') ?? '0');
        super(worker ? [`{ const now = Date.now; Date.now = () => now() + ${days} * 86_400_000; }\n`, ...parts] : parts, options);
      }
    };
  });
}
