// What enters: a working and the mark of its figure. What leaves: a drawer that shows it.
// Always true: focus goes into the drawer and comes back to the figure; Esc closes it.
// Never: shows a text as markup.

import type { FigureWorking } from '../engine/generated/results.js';
import { MARKS, markSign, type Letter } from './marks.ts';

function element<K extends keyof HTMLElementTagNameMap>(name: K, text?: string, className?: string): HTMLElementTagNameMap[K] {
  const made = document.createElement(name);
  if (text !== undefined) made.textContent = text;
  if (className !== undefined) made.className = className;
  return made;
}

let drawer: HTMLDialogElement | undefined;

function emptyDrawer(): HTMLDialogElement {
  if (drawer === undefined) {
    drawer = element('dialog', undefined, 'drawer');
    drawer.setAttribute('aria-labelledby', 'drawer-title');
    // A click beside the drawer closes it.
    drawer.addEventListener('click', (event) => {
      if (event.target === drawer) drawer?.close();
    });
    document.body.append(drawer);
  }
  drawer.replaceChildren();
  return drawer;
}

/** Opens the drawer. */
export function showWorking(working: FigureWorking, mark: Letter | undefined): void {
  const dialog = emptyDrawer();
  const close = element('button', 'Close', 'close');
  close.type = 'button';
  close.addEventListener('click', () => dialog.close());
  const title = element('h2', working.title);
  title.id = 'drawer-title';
  const inside = element('div', undefined, 'inside');
  inside.append(close, title, element('p', working.result, 'result'));
  if (mark !== undefined) {
    const line = element('p', undefined, `verdict verdict-${mark}`);
    line.append(markSign(mark), ` ${MARKS[mark].name}. ${MARKS[mark].meaning}`);
    line.querySelector('.mark')?.setAttribute('aria-hidden', 'true');
    inside.append(line);
  }
  if (working.formula !== '') {
    inside.append(element('h3', 'Formula'), element('p', working.formula, 'formula'));
    if (working.withNumbers !== '') inside.append(element('p', working.withNumbers, 'formula numbers'));
  }
  if (working.inputs.length > 0) {
    const list = element('dl');
    for (const input of working.inputs) list.append(element('dt', input.words), element('dd', input.value));
    inside.append(element('h3', 'What went in'), list);
  }
  if (working.source !== '') inside.append(element('h3', 'Source'), element('p', working.source));
  if (working.assumed.length > 0) {
    const list = element('ul');
    list.append(...working.assumed.map((sentence) => element('li', sentence)));
    inside.append(element('h3', 'Assumed'), list);
  }
  dialog.append(inside);
  dialog.showModal();
  close.focus();
}
