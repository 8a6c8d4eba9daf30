/**
 * Where the page stands, in the address: `#fair`, `#compare/place`, `#calves/17/wean_weight`.
 *
 * Enters: the part of the address after `#`. Leaves: a view with its particulars, and back.
 * Always true: `parse(format(route))` is the same route.
 * Never: carries anything of the records but row keys and column keys.
 */
export type AnswerName = 'fair' | 'groups' | 'compare' | 'trial';
export type ViewName = 'start' | 'pad' | 'sheet' | AnswerName | 'hand-over' | 'problems' | 'versions' | 'settings';

export interface Route {
  view: ViewName;
  /** Sheet key for `sheet`, column for `compare`, group for `groups`; '' otherwise. */
  what: string;
  rowKey: number | null;
  column: string;
}

const PLAIN: readonly ViewName[] = ['start', 'pad', 'fair', 'groups', 'compare', 'trial', 'hand-over', 'problems', 'versions', 'settings'];

export function route(view: ViewName, what = '', rowKey: number | null = null, column = ''): Route {
  return { view, what, rowKey, column };
}

export function parse(hash: string): Route {
  const [name = '', first = '', second = ''] = hash.replace(/^#/, '').split('/').map(decoded);
  if (name === '') return route('start');
  const plain = PLAIN.find((one) => one === name);
  if (plain !== undefined) return plain === 'fair' ? route('fair', '', key(first), second) : route(plain, first);
  return route('sheet', name, key(first), second);
}

export function format(to: Route): string {
  const parts: string[] = [to.view === 'sheet' ? to.what : to.view];
  if (to.view === 'sheet' || to.view === 'fair') {
    if (to.rowKey !== null) parts.push(String(to.rowKey), to.column);
  } else if (to.what !== '') {
    parts.push(to.what);
  }
  return `#${parts.map(encodeURIComponent).join('/')}`;
}

function key(text: string): number | null {
  return /^\d+$/.test(text) ? Number(text) : null;
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
