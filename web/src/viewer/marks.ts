// What enters: letters of marks from the engine. What leaves: a sign and words for each.
// Always true: a mark is a sign and a word, never a colour alone.
// Never: decides a mark.

/** Letters as the engine gives them: h, t, s, x; `-` is no figure. */
export type Letter = 'h' | 't' | 's' | 'x';

/** A mark for people. */
export interface MarkWords {
  sign: string;
  name: string;
  meaning: string;
}

/** The marks in the order of the legend. */
export const MARKS: Readonly<Record<Letter, MarkWords>> = {
  x: {
    sign: '✗',
    name: 'does not match',
    meaning: 'The engine gets another figure from the entries in this file.',
  },
  h: {
    sign: '✓',
    name: 'recomputed here',
    meaning: 'The engine in this file did the sum again from the entries in this file and got the same.',
  },
  t: {
    sign: '≈',
    name: 'recomputed from included group totals',
    meaning: 'Done again from the own figure and the totals of the group, which are as stated.',
  },
  s: {
    sign: '○',
    name: 'stated only',
    meaning: 'What it rests on stays home.',
  },
};

/** The letter, if it is a mark. */
export function markOf(letter: string | undefined): Letter | undefined {
  return letter === 'h' || letter === 't' || letter === 's' || letter === 'x' ? letter : undefined;
}

/** A small sign for a cell. */
export function markSign(letter: Letter): HTMLElement {
  const sign = document.createElement('span');
  sign.className = `mark mark-${letter}`;
  sign.setAttribute('role', 'img');
  sign.setAttribute('aria-label', MARKS[letter].name);
  sign.textContent = MARKS[letter].sign;
  return sign;
}
