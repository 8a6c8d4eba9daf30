/**
 * Choosing rows by value: a list of the distinct values of a column with their counts.
 *
 * Enters: a column and a promise of its values. Leaves: the chosen texts, or undefined for all.
 * Always true: the dialog gives the focus back; values left out of a long list are counted aloud.
 * Never: drops a choice because it is not shown.
 */
import type { GridColumn } from './contract.js';
import type { Sheet } from './sheet.js';
import { count } from './words.js';

const MOST_SHOWN = 300;

interface Request {
  column: GridColumn;
  anchor: HTMLElement;
  values: Promise<{ text: string; n: number }[]>;
  chosen: readonly string[] | undefined;
  done: (values: string[] | undefined) => void;
  closed: () => void;
}

function button(text: string, className: string, act: () => void): HTMLButtonElement {
  const element = document.createElement('button');
  element.type = 'button';
  element.className = className;
  element.textContent = text;
  element.addEventListener('click', act);
  return element;
}

export class ValueList {
  constructor(private readonly sheet: Sheet) {}

  async open(request: Request): Promise<void> {
    let values: { text: string; n: number }[];
    try {
      values = await request.values;
    } catch (problem) {
      this.sheet.hint(problem instanceof Error ? problem.message : String(problem));
      return;
    }
    const chosen = new Set(request.chosen ?? values.map((value) => value.text));
    const dialog = document.createElement('dialog');
    dialog.className = 'fpg-values';
    dialog.setAttribute('aria-label', `Values of ${request.column.label}`);

    const search = document.createElement('input');
    search.type = 'text';
    search.placeholder = 'Find a value';
    search.setAttribute('aria-label', 'Find a value');
    const items = document.createElement('div');
    items.className = 'fpg-value-items';
    items.setAttribute('role', 'group');
    items.setAttribute('aria-label', 'Values');
    const rest = document.createElement('p');
    rest.className = 'fpg-value-rest';
    rest.setAttribute('aria-live', 'polite');

    const matching = (): typeof values => {
      const wanted = search.value.toLowerCase();
      return wanted === '' ? values : values.filter((value) => value.text.toLowerCase().includes(wanted));
    };
    const show = (): void => {
      const found = matching();
      items.replaceChildren(...found.slice(0, MOST_SHOWN).map((value) => {
        const line = document.createElement('label');
        const box = document.createElement('input');
        box.type = 'checkbox';
        box.checked = chosen.has(value.text);
        box.addEventListener('change', () => { if (box.checked) chosen.add(value.text); else chosen.delete(value.text); });
        const text = document.createElement('span');
        text.className = 'fpg-value-text';
        text.textContent = value.text === '' ? '(empty)' : value.text;
        const n = document.createElement('span');
        n.className = 'fpg-value-n';
        n.textContent = value.n.toLocaleString('en-US');
        line.append(box, text, n);
        return line;
      }));
      rest.textContent = found.length > MOST_SHOWN
        ? `${count(found.length - MOST_SHOWN, 'more value is', 'more values are')} not shown. Type to narrow.`
        : found.length === 0 ? 'No value matches.' : '';
    };
    const setAll = (on: boolean): void => {
      for (const value of matching()) { if (on) chosen.add(value.text); else chosen.delete(value.text); }
      show();
    };
    const accept = (): void => {
      const kept = values.map((value) => value.text).filter((text) => chosen.has(text));
      dialog.close();
      request.done(kept.length === values.length ? undefined : kept);
    };
    search.addEventListener('input', show);
    dialog.addEventListener('keydown', (event) => {
      event.stopPropagation();
      if (event.key === 'Enter' && !(event.target instanceof HTMLButtonElement)) { event.preventDefault(); accept(); }
      else if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
        const stops = [search, ...items.querySelectorAll<HTMLInputElement>('input')];
        const at = stops.indexOf(document.activeElement as HTMLInputElement);
        const next = stops[at + (event.key === 'ArrowDown' ? 1 : -1)];
        if (at >= 0 && next) { event.preventDefault(); next.focus(); }
      }
    });
    // A press on the dimmed page around the list closes it.
    dialog.addEventListener('pointerdown', (event) => { if (event.target === dialog) dialog.close(); });
    // The event comes a moment after closing: a person who went on typing elsewhere keeps the focus.
    dialog.addEventListener('close', () => {
      const { activeElement } = document;
      const idle = !activeElement || activeElement === document.body || dialog.contains(activeElement);
      dialog.remove();
      if (idle) request.closed();
    });

    const all = document.createElement('div');
    all.className = 'fpg-value-acts';
    all.append(button('All', 'fpg-plain', () => setAll(true)), button('None', 'fpg-plain', () => setAll(false)));
    const ends = document.createElement('div');
    ends.className = 'fpg-value-acts';
    ends.append(button('Cancel', 'fpg-plain', () => dialog.close()), button('Show these', 'fpg-main', accept));
    const inner = document.createElement('div');
    inner.className = 'fpg-values-inner';
    inner.append(search, all, items, rest, ends);
    dialog.append(inner);
    show();
    this.sheet.shell.append(dialog);
    dialog.showModal();
    place(dialog, request.anchor);
    search.focus();
  }
}

function place(dialog: HTMLElement, anchor: HTMLElement): void {
  const box = anchor.getBoundingClientRect();
  const { offsetWidth, offsetHeight } = dialog;
  const left = Math.max(8, Math.min(box.right - offsetWidth, innerWidth - offsetWidth - 8));
  const below = box.bottom + 4;
  const top = below + offsetHeight > innerHeight - 8 ? Math.max(8, innerHeight - offsetHeight - 8) : below;
  dialog.style.left = `${left}px`;
  dialog.style.top = `${top}px`;
}
