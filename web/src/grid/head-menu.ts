/**
 * The menu of a column head.
 *
 * Enters: a column. Leaves: `fp-column`, sorting, a width, or the list of values.
 * Always true: says what the column is; the arrows, Home, End and first letters move in it, Escape closes it and
 *   the head has the keyboard again; what cannot be done now is there and says so.
 * Never: arranges columns itself.
 */
import type { ColumnAct, GridColumn } from './contract.js';
import type { Sheet } from './sheet.js';
import { ORIGIN_WORDS, count } from './words.js';

export interface HeadActs {
  /** `null` stops sorting by the column. */
  sort(index: number, descending: boolean | null, adding: boolean): void;
  fit(index: number): void;
  chooseValues(index: number): void;
}

interface Item { words: string; act: () => void; off?: boolean }

const ENDS: Record<GridColumn['kind'], readonly [first: string, last: string]> = {
  number: ['Lowest first', 'Highest first'], date: ['Earliest first', 'Latest first'], text: ['A first', 'Z first'], code: ['A first', 'Z first'],
};
/** Below this width the menu stands at the foot of the screen, in reach of a thumb. */
const NARROW_PX = 640;

/** The groups of a menu. Standing apart so that they can be tested without a page. */
export function headMenu(sheet: Pick<Sheet, 'columns' | 'sortKeys' | 'layout' | 'canArrange' | 'nHidden'>, index: number,
  acts: HeadActs, ask: (act: ColumnAct, to?: number) => void): Item[][] {
  const column = sheet.columns[index];
  if (!column) return [];
  const sorted = sheet.sortKeys.find((key) => key.column === column.key);
  const [first, last] = ENDS[column.kind];
  const groups: Item[][] = [[
    { words: first, act: () => acts.sort(index, false, false) },
    { words: last, act: () => acts.sort(index, true, false) },
    ...(sheet.sortKeys.length > 0 && !sorted ? [{ words: 'Sort by this next', act: () => acts.sort(index, false, true) }] : []),
    ...(sorted ? [{ words: 'Do not sort by this', act: () => acts.sort(index, null, false) }] : []),
    { words: 'Choose rows by value', act: () => acts.chooseValues(index) },
  ]];
  const fit: Item = { words: 'Fit the width', act: () => acts.fit(index) };
  if (!sheet.canArrange) return [...groups, [fit]];
  const { frozen } = sheet.layout;
  const end = sheet.columns.length - 1;
  groups.push([
    { words: 'Move left', act: () => ask('move', index - 1), off: index === 0 },
    { words: 'Move right', act: () => ask('move', index + 1), off: index === end },
    { words: 'Move to the front', act: () => ask('move', 0), off: index === 0 },
    fit,
    ...(frozen !== index + 1 ? [{ words: 'Freeze up to here', act: () => ask('freeze', index + 1) }] : []),
    ...(frozen > 1 ? [{ words: 'Freeze the first column only', act: () => ask('freeze', 1) }] : []),
  ], [
    { words: 'Hide this column', act: () => ask('hide'), off: end === 0 },
    ...(sheet.nHidden > 0 ? [{ words: `Show ${count(sheet.nHidden, 'hidden column', 'hidden columns')}`, act: () => ask('showHidden') }] : []),
    { words: 'All columns of the sheet', act: () => ask('choose') },
  ]);
  if (column.own) {
    groups.push([
      { words: 'Rename', act: () => ask('rename') },
      ...(column.origin === 'own' ? [{ words: 'Change the formula', act: () => ask('formula') }] : []),
      { words: 'Take the column away', act: () => ask('remove') },
    ]);
  }
  return groups;
}

export class HeadMenu {
  private readonly box = document.createElement('div');
  private readonly about = document.createElement('p');
  private readonly list = document.createElement('div');
  private items: HTMLElement[] = [];
  private opener: HTMLElement | null = null;

  constructor(private readonly sheet: Sheet, private readonly acts: HeadActs) {
    const { box, about, list } = this;
    box.className = 'fpg-menu';
    box.popover = 'manual';
    about.id = `${sheet.uid}-menu-about`;
    list.setAttribute('role', 'menu');
    list.setAttribute('aria-describedby', about.id);
    box.append(about, list);
    box.addEventListener('keydown', (event) => this.key(event));
    const away = (): void => this.close();
    // By hand rather than by the browser, which would close at once what a long press or the right button opened.
    document.addEventListener('pointerdown', (event) => {
      if (this.opener !== null && event.target instanceof Node && !box.contains(event.target)) away();
    }, { capture: true });
    addEventListener('resize', away);
    addEventListener('hashchange', away);
    sheet.shell.append(box);
  }

  open(index: number, opener: HTMLElement): void {
    const { sheet, about, list, box } = this;
    const column = sheet.columns[index];
    if (!column) return;
    const name = document.createElement('b');
    name.textContent = column.label;
    const facts = [column.unit, ORIGIN_WORDS[column.origin]].filter(Boolean).join(', ');
    about.replaceChildren(name, ` (${facts}). ${column.help}`);
    list.setAttribute('aria-label', `Column ${column.label}`);
    const groups = headMenu(sheet, index, this.acts, (act, to = 0) => sheet.emit('fp-column', { act, column: column.key, to }));
    this.items = [];
    list.replaceChildren(...groups.flatMap((group, at) => {
      const made = group.map((item) => this.make(item));
      this.items.push(...made);
      if (at === 0) return made;
      const line = document.createElement('div');
      line.setAttribute('role', 'separator');
      return [line, ...made];
    }));
    this.close();
    this.opener = opener;
    opener.setAttribute('aria-expanded', 'true');
    box.showPopover();
    this.place(opener.closest('.fpg-head') ?? opener);
    this.items[0]?.focus({ preventScroll: true });
  }

  private make(item: Item): HTMLElement {
    const button = document.createElement('button');
    button.type = 'button';
    button.tabIndex = -1;
    button.setAttribute('role', 'menuitem');
    button.textContent = item.words;
    if (item.off) button.setAttribute('aria-disabled', 'true');
    button.addEventListener('click', () => {
      if (item.off) return;
      this.close();
      item.act();
    });
    return button;
  }

  private place(head: Element): void {
    const { style } = this.box;
    style.left = style.top = style.maxHeight = '';
    if (window.innerWidth <= NARROW_PX) return;
    const at = head.getBoundingClientRect();
    const box = this.box.getBoundingClientRect();
    style.left = `${Math.max(8, Math.min(at.left, window.innerWidth - box.width - 8))}px`;
    style.top = `${Math.max(8, Math.min(at.bottom + 2, window.innerHeight - box.height - 8))}px`;
    style.maxHeight = `${window.innerHeight - 16}px`;
  }

  private key(event: KeyboardEvent): void {
    const at = this.items.findIndex((item) => item === document.activeElement);
    const to = (index: number): void => this.items[(index + this.items.length) % this.items.length]?.focus();
    switch (event.key) {
      case 'ArrowDown': to(at + 1); break;
      case 'ArrowUp': to(at < 0 ? -1 : at - 1); break;
      case 'Home': to(0); break;
      case 'End': to(-1); break;
      case 'Tab': case 'Escape': this.close(); break;
      default: {
        if ([...event.key].length !== 1 || event.ctrlKey || event.metaKey || event.altKey || event.key === ' ') return;
        const letter = event.key.toLowerCase();
        const order = [...this.items.slice(at + 1), ...this.items.slice(0, at + 1)];
        order.find((item) => item.textContent?.toLowerCase().startsWith(letter))?.focus();
      }
    }
    event.preventDefault();
    event.stopPropagation();
  }

  /** The head has the keyboard again, if the menu had it. */
  private close(): void {
    const { box, opener, sheet } = this;
    if (opener === null) return;
    const inside = box.contains(document.activeElement);
    this.opener = null;
    opener.setAttribute('aria-expanded', 'false');
    box.hidePopover();
    if (inside) sheet.focusSheet();
  }
}
