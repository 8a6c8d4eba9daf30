/**
 * The keys of the sheet, on one page.
 *
 * Enters and leaves: nothing.
 * Always true: says the same as the sheet does.
 * Never: names a key that does nothing.
 */
import { html, type TemplateResult } from 'lit';

const KEYS: readonly (readonly [title: string, rows: readonly (readonly [keys: string, what: string])[]])[] = [
  ['Moving and choosing', [
    ['Arrows, Tab, Enter', 'one cell on'],
    ['Ctrl + arrow', 'to the edge of what is filled'],
    ['Home, End, Page Up, Page Down', 'along the row, a page of rows'],
    ['Ctrl + Home, Ctrl + End', 'first cell, last cell'],
    ['Shift with any of these', 'selects from here to there'],
    ['Ctrl + A', 'selects everything shown'],
    ['Ctrl + Space, Shift + Space', 'selects the column, the row'],
    ['Ctrl + Enter', 'opens what a name stands for; on other cells shows the animal and where else it stands'],
    ['Alt + Left', 'back to the cell you came from'],
    ['Escape, then Tab', 'leaves the sheet'],
  ]],
  ['Typing', [
    ['Any letter or digit', 'replaces the cell'],
    ['F2 or a double click', 'changes what stands there'],
    ['Alt + Down', 'opens the list of words of a column that has one'],
    ['Enter, Tab', 'keeps it and goes on'],
    ['Ctrl + Enter', 'puts it into every selected cell'],
    ['Escape', 'takes it back'],
    ['Delete', 'clears the selected cells'],
    ['Ctrl + D', 'fills down from the top of the selection'],
  ]],
  ['Rows', [
    ['Shift + Space', 'selects the row, from edge to edge'],
    ['Menu key, Shift + F10', 'what can be done with the rows chosen'],
    ['Ctrl + minus, on whole rows', 'takes them off the record'],
    ['Ctrl + plus, on whole rows', 'puts as many in above'],
  ]],
  ['Copying and finding', [
    ['Ctrl + C, Ctrl + X, Ctrl + V', 'copy, cut, paste, with other programs too'],
    ['Ctrl + F', 'finds a row'],
    ['Ctrl + H', 'finds and replaces'],
    ['Ctrl + Z, Ctrl + Y', 'undo, do again'],
  ]],
  ['Column heads (Up from the first row)', [
    ['Enter', 'sorts; Shift + Enter adds a second key'],
    ['Space', 'opens the menu of the column: sort, move, freeze, hide, and for your own rename and take away'],
    ['Shift + Left, Shift + Right', 'narrower, wider'],
    ['Ctrl + Shift + Left, Right', 'moves the column one place'],
    ['Alt + Down', 'chooses rows by value'],
  ]],
];

export function keysHelp(): TemplateResult {
  return html`<dialog class="keys" aria-labelledby="keys-title">
    <form method="dialog"><div class="row between"><h2 id="keys-title">Keys of the sheet</h2><button autofocus>Close</button></div></form>
    <p class="soft">On a Mac use Command for Ctrl. With a finger: a long press selects from the active cell to there and offers copy, paste, fill, clear and the acts on rows. On a column head it opens the menu, and carries the head along when the finger moves.</p>
    ${KEYS.map(([title, rows]) => html`<h3>${title}</h3><dl>${rows.map(([keys, what]) => html`<div><dt>${keys}</dt><dd>${what}</dd></div>`)}</dl>`)}
  </dialog>`;
}
