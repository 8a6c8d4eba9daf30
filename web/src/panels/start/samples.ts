/**
 * The sample books this page carries.
 *
 * Enters: the payloads the build laid into the page. Leaves: names and files of samples.
 * Always true: a sample is invented and is called so.
 * Never: asks another host.
 */
import { payload, payloadNames } from '../../embed/payload.ts';
import type { NamedBytes } from '../../engine/protocol.ts';
import { app } from '../app.ts';
import { route } from '../route.ts';

export interface Sample { key: string; title: string; about: string; paths: string[] }

const ROOT = 'sample-books/';
const KNOWN: Record<string, { title: string; about: string }> = {
  'two-barns': { title: 'Two barns', about: '182 calves of one spring, four bedded pens and three pastures. Start here.' },
  'one-file': { title: 'One file', about: 'The same calves in a single file, without lists of cows and places.' },
  'five-years': { title: 'Five years', about: 'Five years of about 240 cows.' },
  'rounded-scale': { title: 'A rounded scale', about: '45 calves whose weights were rounded, or taken once for a whole pen.' },
  trouble: { title: 'A troubled file', about: '76 lines, each with one thing wrong, to see how each is named.' },
};

export function samples(): Sample[] {
  const found = new Map<string, string[]>();
  for (const name of payloadNames()) {
    if (!name.startsWith(ROOT) || !name.endsWith('.csv')) continue;
    const rest = name.slice(ROOT.length);
    const key = rest.includes('/') ? rest.slice(0, rest.indexOf('/')) : rest.replace(/\.csv$/, '');
    found.set(key, [...(found.get(key) ?? []), name]);
  }
  const order = Object.keys(KNOWN);
  const rank = (key: string): number => (order.includes(key) ? order.indexOf(key) : order.length);
  return [...found]
    .map(([key, paths]) => ({ key, paths, title: KNOWN[key]?.title ?? key.replace(/-/g, ' '), about: KNOWN[key]?.about ?? '' }))
    .sort((a, b) => rank(a.key) - rank(b.key) || (a.key < b.key ? -1 : 1));
}

async function sampleFiles(sample: Sample): Promise<NamedBytes[]> {
  return Promise.all(sample.paths.map(async (path) => ({ name: path.slice(path.lastIndexOf('/') + 1), bytes: await payload(path) })));
}

/** Opens a sample: the one kept from before, or a fresh one. */
export async function openSample(sample: Sample): Promise<void> {
  const title = `${sample.title} (invented)`;
  const kept = app.books.find((book) => book.sample && book.title === title);
  if (kept !== undefined) {
    await app.openBook(kept.id);
    return;
  }
  await app.createBook(title, true, await sampleFiles(sample));
  app.go(route('fair'));
}
