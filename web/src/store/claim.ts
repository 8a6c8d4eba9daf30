/**
 * One tab writes a book; others may read it.
 *
 * Enters: the id of a book. Leaves: whether this tab may write, and a way to let go.
 * Always true: a claim ends with the worker that holds it, however it ends.
 * Never: refuses where the browser has no locks (pages opened from disk, old browsers).
 */
export interface Claim {
  mine: boolean;
  release(): void;
}

export async function claim(bookId: string): Promise<Claim> {
  const free: Claim = { mine: true, release() {} };
  if (!('locks' in navigator) || navigator.locks === undefined) return free;
  return new Promise<Claim>((resolve) => {
    navigator.locks
      .request(`fairpen-book-${bookId}`, { ifAvailable: true }, (lock) => {
        if (lock === null) {
          resolve({ mine: false, release() {} });
          return undefined;
        }
        return new Promise<void>((done) => resolve({ mine: true, release: () => done() }));
      })
      .catch(() => resolve(free));
  });
}
