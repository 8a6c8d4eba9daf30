// What enters: what the engine found. What leaves: the section "Checked here", with the legend and counts.
// Always true: what does not match comes first, in words; a fingerprint that is not its contents' is said.
// Never: says more than that sums were done again.

import type { VerificationView } from '../engine/generated/results.js';
import { MARKS, markSign, type Letter } from './marks.ts';

function paragraph(text: string, className = ''): HTMLParagraphElement {
  const made = document.createElement('p');
  made.textContent = text;
  if (className !== '') made.className = className;
  return made;
}

function figures(n: number): string {
  return n === 1 ? '1 figure' : `${n.toLocaleString('en-US')} figures`;
}

/** Fills the section. */
export function showVerdict(section: HTMLElement, status: HTMLElement, found: VerificationView, version: string): void {
  const checked = found.recomputed + found.fromTotals;
  const stated = found.stated === 0 ? '' : ` ${figures(found.stated)} ${found.stated === 1 ? 'is' : 'are'} stated only.`;
  if (found.differ > 0 || !found.contentsAsStated) {
    // What is wrong stands before everything else.
    document.querySelector('main > header')?.after(section);
  }
  if (found.differ > 0) {
    section.classList.add('bad');
    status.className = 'alarm';
    status.textContent = `${figures(found.differ)} ${found.differ === 1 ? 'does' : 'do'} not match what the engine gets from the entries in this file.`;
    status.after(differenceTable(found));
    section.append(paragraph(`${figures(checked)} were done again and agree.${stated}`));
  } else {
    status.textContent = `The engine in this file did ${figures(checked)} again just now, and they agree.${stated}`;
  }
  if (!found.contentsAsStated) {
    section.classList.add('bad');
    const what = found.inputsAsStated ? 'Something in this file' : 'The entries in this file';
    section.append(paragraph(`${what} changed after it was made: the fingerprint at the end is not that of the contents. Ask for the file again.`, 'alarm'));
  }
  section.append(legend(found));
  section.append(paragraph(`Engine ${version}, carried in this file. Nothing was sent or fetched.`, 'small'));
}

function differenceTable(found: VerificationView): HTMLElement {
  const box = document.createElement('div');
  box.className = 'scroll';
  box.tabIndex = 0;
  box.setAttribute('role', 'region');
  box.setAttribute('aria-label', 'What does not match');
  const table = document.createElement('table');
  const head = table.createTHead().insertRow();
  for (const text of ['Figure', 'As stated', 'As computed here']) {
    const cell = document.createElement('th');
    cell.scope = 'col';
    cell.textContent = text;
    head.append(cell);
  }
  const body = table.createTBody();
  const most = 50;
  for (const difference of found.differences.slice(0, most)) {
    const row = body.insertRow();
    for (const text of [difference.what, difference.stated, difference.recomputed === '' ? 'another' : difference.recomputed]) {
      row.insertCell().textContent = text;
    }
  }
  box.append(table);
  if (found.differences.length > most) {
    box.append(paragraph(`The first ${most} of ${found.differences.length}; the others are marked below.`));
  }
  return box;
}

function legend(found: VerificationView): HTMLElement {
  const counts: Record<Letter, number> = { x: found.differ, h: found.recomputed, t: found.fromTotals, s: found.stated };
  const list = document.createElement('ul');
  list.className = 'legend';
  for (const letter of Object.keys(MARKS) as Letter[]) {
    if (counts[letter] === 0 && letter !== 'h') continue;
    const item = document.createElement('li');
    const sign = markSign(letter);
    sign.setAttribute('aria-hidden', 'true');
    sign.removeAttribute('role');
    sign.removeAttribute('aria-label');
    const name = document.createElement('strong');
    name.textContent = `${counts[letter].toLocaleString('en-US')} ${MARKS[letter].name}`;
    item.append(sign, ' ', name, ` – ${MARKS[letter].meaning}`);
    list.append(item);
  }
  return list;
}
