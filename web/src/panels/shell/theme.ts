/**
 * Light, dark or bright sun.
 *
 * Enters: the person's choice. Leaves: `data-theme` on the document.
 * Always true: without a choice the system decides; the choice is remembered on this device.
 * Never: flashes another theme first (it is set before the first paint).
 */
import { remember, remembered } from '../app.ts';

export type Theme = '' | 'light' | 'dark' | 'sun';
const KEY = 'fairpen-theme';

export const THEMES: readonly { key: Theme; words: string }[] = [
  { key: '', words: 'As the system' },
  { key: 'light', words: 'Light' },
  { key: 'dark', words: 'Dark' },
  { key: 'sun', words: 'Bright sun' },
];

export function theme(): Theme {
  const kept = remembered(KEY);
  return THEMES.find(({ key }) => key === kept)?.key ?? '';
}

export function setTheme(next: Theme): void {
  remember(KEY, next);
  applyTheme(next);
}

export function applyTheme(next: Theme = theme()): void {
  if (next === '') delete document.documentElement.dataset['theme'];
  else document.documentElement.dataset['theme'] = next;
}
