// What enters: the source text of a bundled worker and a name for it. What leaves: the running worker.
// Always true: the worker runs under the page's own content-security policy, on the site and from disk.
// Never: loads a script by address; a page opened from disk may not.

/** Starts a classic worker from its source text. The name shows in the browser's tools. */
export function startWorker(source: string, name: string): Worker {
  const url = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
  const worker = new Worker(url, { name });
  // The browser has taken hold of the blob once the constructor returns.
  URL.revokeObjectURL(url);
  return worker;
}
