/**
 * Which books were kept here, written down apart from them.
 *
 * Enters: the books on the device. Leaves: those that were here before and are not now.
 * Always true: a browser that clears its database for want of room leaves this list, so that the loss can be said.
 * Never: holds more of a book than its name; never decides that a book was lost on purpose.
 */
const KEY = 'fairpen-kept-books';

function read(): Record<string, string> {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(KEY) ?? '{}');
    return typeof found === 'object' && found !== null ? (found as Record<string, string>) : {};
  } catch {
    return {};
  }
}
function write(books: Record<string, string>): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(books));
  } catch {
    // blocked or full: nothing can be said later, and nothing else depends on it
  }
}

/** Notes the books that are here; gives the names of those that are gone. */
export function missingSince(books: readonly { id: string; title: string }[]): string[] {
  const known = read();
  const here = new Set(books.map((book) => book.id));
  const gone = Object.entries(known).filter(([id]) => !here.has(id));
  write({ ...known, ...Object.fromEntries(books.map((book) => [book.id, book.title])) });
  return gone.map(([, title]) => title);
}

/** The person removed this book, or has read that it is gone. */
export function forget(isForgotten: (id: string, title: string) => boolean): void {
  write(Object.fromEntries(Object.entries(read()).filter(([id, title]) => !isForgotten(id, title))));
}
