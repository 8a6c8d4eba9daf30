/**
 * One tab writes a book; others may read it, and ask for it.
 *
 * Enters: the id of a book. Leaves: whether this tab may write, a way to let go, and a way to ask and to wait.
 * Always true: a claim ends with the worker that holds it, however it ends; the one that holds it lets go only by itself.
 * Never: takes a book away from a tab that has not let go; refuses where the browser has no locks (pages opened from
 *   disk, old browsers).
 */
export interface Claim {
  mine: boolean;
  release(): void;
}

const nameOf = (bookId: string): string => `fairpen-book-${bookId}`;
const free = (): Claim => ({ mine: true, release() {} });
const locks = (): LockManager | undefined => (navigator as { locks?: LockManager }).locks;

/** Takes the book if no other tab has it. */
export async function claim(bookId: string): Promise<Claim> {
  const manager = locks();
  if (manager === undefined) return free();
  return new Promise<Claim>((resolve) => {
    manager
      .request(nameOf(bookId), { ifAvailable: true }, (lock) => {
        if (lock === null) {
          resolve({ mine: false, release() {} });
          return undefined;
        }
        return new Promise<void>((done) => resolve({ mine: true, release: () => done() }));
      })
      .catch(() => resolve(free()));
  });
}

/** Waits until the book is free and takes it. Rejects when `until` is aborted first. */
export function claimWhenFree(bookId: string, until: AbortSignal): Promise<Claim> {
  const manager = locks();
  if (manager === undefined) return Promise.resolve(free());
  return new Promise<Claim>((resolve, reject) => {
    manager
      .request(nameOf(bookId), { signal: until }, () =>
        new Promise<void>((done) => resolve({ mine: true, release: () => done() })))
      .catch(reject);
  });
}

/** Takes the book, waiting a little for a worker that was ended just now to be quite gone. */
export async function claimSoon(bookId: string, patienceMs: number): Promise<Claim> {
  const limit = new AbortController();
  const timer = setTimeout(() => limit.abort(), patienceMs);
  try {
    return await claimWhenFree(bookId, limit.signal);
  } catch {
    return { mine: false, release() {} };
  } finally {
    clearTimeout(timer);
  }
}

/** Hears when another tab asks for the book. Returns a way to stop hearing. */
export function whenAsked(bookId: string, asked: () => void): () => void {
  if (typeof BroadcastChannel !== 'function') return () => undefined;
  const channel = new BroadcastChannel(nameOf(bookId));
  channel.onmessage = () => asked();
  return () => channel.close();
}

/** Asks the tab that has the book to let go of it. */
export function askFor(bookId: string): void {
  if (typeof BroadcastChannel !== 'function') return;
  const channel = new BroadcastChannel(nameOf(bookId));
  channel.postMessage('please let go');
  channel.close();
}
