/**
 * Steps from a cell to what it names, and back.
 *
 * Enters: where she stands and where she goes. Leaves: a new address; the old one is one step back.
 * Always true: Back leads to the very cell that was left, by the browser's own Back as well.
 * Never: loses a place by opening another.
 */
import type { LinkedPlace } from '../../engine/generated/core.js';
import { app } from '../app.ts';
import { format, route } from '../route.ts';

export interface Cell { sheet: string; rowKey: number; column: string }

/** Goes to a row; the browser's Back, and the button on the sheet, lead back to `from`. */
export function follow(to: LinkedPlace, from: Cell): void {
  const here = format(route('sheet', from.sheet, from.rowKey, from.column));
  const there = format(route('sheet', to.sheet, to.rowKey, to.column));
  if (here === there) return;
  history.replaceState(history.state, '', here);
  const label = app.state?.sheets.find((sheet) => sheet.key === from.sheet)?.label ?? from.sheet;
  app.cameFrom = [...app.cameFrom.filter((step) => step.there !== there), { here, there, label }];
  location.hash = there;
}

/** The step that led here, if one did. */
export function wayBack(): { here: string; label: string } | undefined {
  return app.cameFrom.find((step) => step.there === location.hash);
}

/** Shows the card of a row, or of several. */
export function openCard(sheet: string, rowKeys: number[]): void {
  if (rowKeys.length === 0) return;
  app.working = null;
  app.card = { sheet, rowKeys };
  app.notify();
  requestAnimationFrame(() => requestAnimationFrame(() => document.querySelector<HTMLElement>('#card-title')?.focus({ preventScroll: true })));
}
