/**
 * The column heads.
 *
 * Enters: columns, sort keys, the active head. Leaves: heads with label, unit, origin mark, sort and width.
 * Always true: origin and sort are said in words as well as drawn; every pointer act has a key.
 * Never: sorts rows itself.
 */
import { pinAt } from './columns.js';
import type { GridColumn, SortKey } from './contract.js';
import { HeadDrag } from './head-drag.js';
import { HeadMenu } from './head-menu.js';
import { HEADER_ROW } from './selection.js';
import type { Sheet } from './sheet.js';
import { ORIGIN_WORDS } from './words.js';

const SVG = 'http://www.w3.org/2000/svg';
/** A line to write on; an equals sign; a full diamond. */
const ORIGIN_PATHS = {
  entered: 'M2 10h8M3.5 7.5l.4-1.8L8 1.6l1.4 1.4-4.1 4.1z',
  own: 'M2 4.2h8M2 7.8h8',
  engine: 'M6 1l5 5-5 5-5-5z',
} as const;

function originMark(column: GridColumn): Element {
  const mark = document.createElementNS(SVG, 'svg');
  mark.setAttribute('viewBox', '0 0 12 12');
  mark.setAttribute('class', `fpg-origin fpg-origin-${column.origin}`);
  mark.setAttribute('aria-hidden', 'true');
  const path = document.createElementNS(SVG, 'path');
  path.setAttribute('d', ORIGIN_PATHS[column.origin]);
  mark.append(path);
  return mark;
}

function span(className: string, text = ''): HTMLSpanElement {
  const element = document.createElement('span');
  element.className = className;
  element.textContent = text;
  return element;
}

interface Head { element: HTMLElement; menu: HTMLButtonElement; sort: HTMLElement; spoken: HTMLElement }

/** Next state of one key: up, down, none. Without `adding` the other keys go. */
export function nextSort(keys: readonly SortKey[], column: string, adding: boolean): SortKey[] {
  const now = keys.find((key) => key.column === column);
  const next = !now ? { column, descending: false } : now.descending ? null : { column, descending: true };
  if (!adding) return next ? [next] : [];
  if (!now) return next ? [...keys, next] : [...keys];
  return keys.flatMap((key) => (key.column !== column ? [key] : next ? [next] : []));
}

export class HeaderRow {
  readonly element = document.createElement('div');
  private heads: Head[] = [];
  private shownSort = '';

  private readonly menu: HeadMenu;

  /** `chooseValues` opens the list of values of a column; `settled` is false while a width is being pulled. */
  constructor(
    private readonly sheet: Sheet, private readonly resized: (column: number, settled: boolean) => void, chooseValues: (column: number) => void,
  ) {
    this.menu = new HeadMenu(sheet, {
      sort: (index, descending, adding) => this.sortTo(index, descending, adding),
      fit: (index) => this.fit(index),
      chooseValues,
    });
    new HeadDrag(sheet, this.element, (index) => this.openMenu(index));
    this.element.className = 'fpg-heads';
    this.element.setAttribute('role', 'row');
    this.element.setAttribute('aria-rowindex', '1');
  }

  reset(): void {
    this.heads = this.sheet.columns.map((column, index) => this.make(column, index));
    this.element.replaceChildren(...this.heads.map((head) => head.element));
    this.shownSort = '';
  }

  /** After the number of columns that stay in sight changed. */
  pin(): void {
    this.heads.forEach((head, index) => pinAt(head.element, index, this.sheet.layout));
  }

  openMenu(index: number): void {
    const head = this.heads[index];
    if (!head) return;
    this.sheet.select({ row: HEADER_ROW, column: index });
    this.menu.open(index, head.menu);
  }

  private make(column: GridColumn, index: number): Head {
    const element = document.createElement('div');
    element.className = `fpg-head fpg-${column.kind} fpg-${column.origin}`;
    element.setAttribute('role', 'columnheader');
    element.setAttribute('aria-colindex', String(index + 1));
    element.style.width = `var(--fpg-w${index})`;
    pinAt(element, index, this.sheet.layout);
    element.title = [column.label + (column.unit ? ` (${column.unit})` : ''), ORIGIN_WORDS[column.origin], column.help]
      .filter(Boolean).join('\n');
    const button = document.createElement('button');
    button.type = 'button';
    button.tabIndex = -1;
    button.className = 'fpg-sort';
    const name = span('fpg-name');
    const label = span('fpg-label', column.label);
    const sort = span('fpg-sort-mark');
    sort.setAttribute('aria-hidden', 'true');
    name.append(label, sort);
    const under = span('fpg-under');
    under.append(originMark(column), span('fpg-unseen', `, ${ORIGIN_WORDS[column.origin]}`), span('fpg-unit', column.unit));
    const spoken = span('fpg-unseen');
    button.append(name, under, spoken);
    button.addEventListener('click', (event) => {
      this.sort(index, event.shiftKey);
      this.sheet.focusSheet();
    });
    const edge = document.createElement('div');
    edge.className = 'fpg-edge';
    edge.addEventListener('pointerdown', (event) => this.pull(event, index, edge));
    edge.addEventListener('dblclick', () => this.fit(index));
    const menu = document.createElement('button');
    menu.type = 'button';
    menu.tabIndex = -1;
    menu.className = 'fpg-more';
    menu.setAttribute('aria-haspopup', 'menu');
    menu.setAttribute('aria-label', `What can be done with ${column.label}`);
    menu.addEventListener('click', () => this.openMenu(index));
    element.append(button, menu, edge);
    return { element, menu, sort, spoken };
  }

  private fit(index: number): void {
    const column = this.sheet.columns[index];
    if (column) this.widen(index, this.sheet.layout.fitting(column));
  }

  /** Sorts a column one way; `null` stops sorting by it. */
  private sortTo(index: number, descending: boolean | null, adding: boolean): void {
    const { sheet } = this;
    const column = sheet.columns[index];
    if (!column) return;
    const others = sheet.sortKeys.filter((key) => key.column !== column.key);
    const next = descending === null ? [] : [{ column: column.key, descending }];
    this.sortBy(column, adding || descending === null ? [...others, ...next] : next);
  }

  private sortBy(column: GridColumn, keys: SortKey[]): void {
    const { sheet } = this;
    sheet.sortKeys = keys;
    sheet.emit('fp-sort', { keys });
    this.draw();
    const now = keys.find((key) => key.column === column.key);
    sheet.say(now ? `Sorted by ${column.label}, ${now.descending ? 'highest first' : 'lowest first'}.` : `${column.label} no longer sorts.`);
  }

  sort(index: number, adding: boolean): void {
    const column = this.sheet.columns[index];
    if (column) this.sortBy(column, nextSort(this.sheet.sortKeys, column.key, adding));
  }

  widen(index: number, width: number, settled = true): void {
    this.sheet.layout.resize(index, width);
    this.resized(index, settled);
  }

  private pull(event: PointerEvent, index: number, edge: HTMLElement): void {
    if (event.button !== 0) return;
    event.preventDefault();
    event.stopPropagation();
    const start = event.clientX;
    const width = this.sheet.layout.widths[index] ?? 0;
    edge.setPointerCapture(event.pointerId);
    const move = (moved: PointerEvent): void => this.widen(index, width + moved.clientX - start, false);
    const stop = (): void => {
      if (this.sheet.layout.widths[index] !== width) this.resized(index, true);
      edge.removeEventListener('pointermove', move);
      edge.removeEventListener('pointerup', stop);
      edge.removeEventListener('pointercancel', stop);
    };
    edge.addEventListener('pointermove', move);
    edge.addEventListener('pointerup', stop);
    edge.addEventListener('pointercancel', stop);
  }

  draw(): void {
    const { sheet } = this;
    const sortNow = JSON.stringify(sheet.sortKeys);
    if (sortNow !== this.shownSort) {
      this.shownSort = sortNow;
      this.heads.forEach((head, index) => this.drawSort(head, sheet.columns[index]));
    }
    this.heads.forEach((head, index) => {
      const isActive = sheet.active.row === HEADER_ROW && sheet.active.column === index;
      head.element.classList.toggle('fpg-active', isActive);
      if (!isActive) { head.element.removeAttribute('id'); return; }
      head.element.id = `${sheet.uid}-head-${index}`;
      sheet.scroller.setAttribute('aria-activedescendant', head.element.id);
    });
  }

  private drawSort(head: Head, column: GridColumn | undefined): void {
    const keys = this.sheet.sortKeys;
    const at = keys.findIndex((key) => key.column === column?.key);
    const key = keys[at];
    if (!key) {
      head.element.removeAttribute('aria-sort');
      head.sort.textContent = '';
      head.spoken.textContent = '';
      return;
    }
    head.element.setAttribute('aria-sort', key.descending ? 'descending' : 'ascending');
    head.sort.textContent = `${key.descending ? '▼' : '▲'}${keys.length > 1 ? at + 1 : ''}`;
    head.spoken.textContent = keys.length > 1 ? `, sort key ${at + 1} of ${keys.length}` : '';
  }
}
