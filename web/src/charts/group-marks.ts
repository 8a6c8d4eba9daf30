/**
 * Colour and mark of each group.
 *
 * Enters: the names of all groups of a book, in its order. Leaves: a colour and a mark for each.
 * Always true: the same group has the same pair in every picture; of 64 groups no two have the same pair.
 * Never: relies on colour alone.
 *
 * Colours: Okabe and Ito, "Color Universal Design", 2008 (theme.css holds them, darkened where the ground asks).
 */
const N = 8;
const SYMBOLS = ['circle', 'triangle', 'square', 'diamond', 'star', 'cross', 'wye', 'hexagon'] as const;

export interface GroupMark {
  /** A CSS colour that follows the theme. */
  colour: string;
  symbol: (typeof SYMBOLS)[number];
}

export function markAt(index: number): GroupMark {
  const round = Math.floor(index / N);
  return { colour: `var(--group-${(index % N) + 1})`, symbol: SYMBOLS[(index + round) % N] ?? 'circle' };
}

export function marks(names: readonly string[]): Map<string, GroupMark> {
  return new Map(names.map((name, index) => [name, markAt(index)]));
}
