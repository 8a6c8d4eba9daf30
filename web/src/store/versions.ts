/**
 * Versions of a book: earlier moments that can be brought back, and which of them stay.
 *
 * Enters: what was done, the time, the versions there are. Leaves: a diary of the day, and the versions to let go.
 * Always true: the last 14 days on which something was done stay whole while there is room; older ones are thinned
 *   to one a week, then one a month; the newest version stays.
 * Never: looks at a clock by itself; looks into a book.
 */

/** Why a version was kept: a day ended, or something large came next. */
export type VersionKind = 'day' | 'import' | 'bring-back' | 'trouble';

export interface Act { words: string; n: number }

/** What was done since the last version. */
export interface Diary {
  acts: Act[];
  /** Further steps that are not listed. */
  more: number;
  /** Milliseconds since 1970 of the last of them. */
  at: number;
}

export interface Version {
  bookId: string;
  /** Rises with each version of a book. */
  id: number;
  kind: VersionKind;
  /** Milliseconds since 1970 of the last change in it. */
  at: number;
  title: string;
  /** What was done since the version before. */
  acts: Act[];
  more: number;
  /** Sheets with rows. */
  rows: { label: string; n: number }[];
  /** SHA-256 of its bytes, which are kept under it. */
  digest: string;
  /** Bytes. */
  size: number;
}

/** Acts listed in a diary; the rest are counted. */
const MOST_ACTS = 12;
/** Days with changes whose versions all stay. */
export const WHOLE_DAYS = 14;
/** Versions of one day that stay, beside the one of its end. */
const MOST_IN_A_DAY = 8;
/** Most bytes of all versions of a book, however much room there is. */
const MOST_BYTES = 256 * 1024 * 1024;
/** Part of the room that the browser gives which versions of one book may take. */
const PART_OF_ROOM = 0.1;

const DAY_MS = 86_400_000;

/** The day of a moment, by the calendar of this device. */
export function dayOf(at: number): string {
  const day = new Date(at);
  return `${day.getFullYear()}-${String(day.getMonth() + 1).padStart(2, '0')}-${String(day.getDate()).padStart(2, '0')}`;
}

export const noDiary = (): Diary => ({ acts: [], more: 0, at: 0 });

/** The diary with one more act, or with one less when it was taken back. */
export function noted(diary: Diary, words: string, way: 'done' | 'undone', at: number): Diary {
  const acts = diary.acts.map((act) => ({ ...act }));
  const same = acts.find((act) => act.words === words);
  if (way === 'undone' && same !== undefined) {
    same.n -= 1;
    return { acts: acts.filter((act) => act.n > 0), more: diary.more, at };
  }
  const said = way === 'undone' ? `taking back: ${words}` : words;
  const known = acts.find((act) => act.words === said);
  if (known !== undefined) known.n += 1;
  else if (acts.length < MOST_ACTS) acts.push({ words: said, n: 1 });
  else return { acts, more: diary.more + 1, at };
  return { acts, more: diary.more, at };
}

/** True when the diary is of an earlier day: its end is kept before anything else is done. */
export const dayIsOver = (diary: Diary | undefined, now: number): boolean =>
  diary !== undefined && diary.at > 0 && dayOf(diary.at) !== dayOf(now);

/** Most bytes of versions, from the room the browser says it gives; `undefined` when it does not say. */
export function mostBytes(room: number | undefined): number {
  return room === undefined ? MOST_BYTES : Math.min(MOST_BYTES, Math.floor(room * PART_OF_ROOM));
}

/** Bytes that versions take: those that share their bytes are counted once. */
export function bytesOf(versions: readonly Version[]): number {
  return [...new Map(versions.map((one) => [one.digest, one.size])).values()].reduce((sum, size) => sum + size, 0);
}

/** Numbers of the versions to let go: first those that are thinned out by age, then those there is no room for. */
export function toLetGo(versions: readonly Version[], now: number, most: number): { thinned: number[]; noRoom: number[] } {
  const newestFirst = [...versions].sort((a, b) => b.id - a.id);
  const days = [...new Set(newestFirst.map((one) => dayOf(one.at)))];
  const whole = new Set(days.filter((day, at) => at < WHOLE_DAYS || now - Date.parse(`${day}T12:00`) < WHOLE_DAYS * DAY_MS));
  const seen = new Map<string, number>();
  const stays: Version[] = [];
  const thinned: number[] = [];
  for (const one of newestFirst) {
    const age = (now - one.at) / DAY_MS;
    const day = dayOf(one.at);
    const drawer = whole.has(day) ? `${day} ${one.kind === 'day' ? 'end' : 'in it'}` : age < 90 ? `week ${Math.floor(one.at / (7 * DAY_MS))}` : `month ${day.slice(0, 7)}`;
    const n = (seen.get(drawer) ?? 0) + 1;
    seen.set(drawer, n);
    if (n <= (drawer.endsWith('in it') ? MOST_IN_A_DAY : 1)) stays.push(one);
    else thinned.push(one.id);
  }
  // Oldest first, and of the whole days those that stand before an import before those that end a day.
  const rank = (one: Version): number => (!whole.has(dayOf(one.at)) ? 0 : one.kind === 'day' ? 2 : 1);
  const goes = stays.filter((one) => one !== newestFirst[0]).sort((a, b) => rank(a) - rank(b) || a.id - b.id);
  const noRoom: number[] = [];
  let left = stays;
  while (bytesOf(left) > most) {
    const next = goes.shift();
    if (next === undefined) break;
    noRoom.push(next.id);
    left = left.filter((one) => one !== next);
  }
  return { thinned, noRoom };
}
