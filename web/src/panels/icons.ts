/**
 * The few drawn signs of the page.
 *
 * Enters: a name. Leaves: a drawing that takes the colour of its text.
 * Always true: a sign stands beside a word or inside a control with a name; it is hidden from screen readers.
 * Never: is the only carrier of a meaning.
 */
import { svg, type SVGTemplateResult } from 'lit';

const PATHS = {
  undo: 'M7 5 3 9l4 4M3 9h9a5 5 0 0 1 0 10H8',
  redo: 'M17 5l4 4-4 4M21 9h-9a5 5 0 0 0 0 10h4',
  find: 'M10.5 4a6.5 6.5 0 1 0 0 13 6.5 6.5 0 0 0 0-13zM15.5 15.5 21 21',
  bringIn: 'M12 3v11M7.5 9.5 12 14l4.5-4.5M4 16v4h16v-4',
  handOver: 'M12 15V4M7.5 8.5 12 4l4.5 4.5M4 14v6h16v-6',
  well: 'M4 12.5l5 5L20 6.5',
  problems: 'M12 4 2.5 20h19zM12 10v4.5M12 17v.5',
  pad: 'M6 3h12v18H6zM9 7h6M9.5 12h.01M14.5 12h.01M9.5 16.5h.01M14.5 16.5h.01',
  more: 'M4 7h16M4 12h16M4 17h16',
  close: 'M6 6l12 12M18 6 6 18',
  sheet: 'M4 5h16v14H4zM4 10h16M4 14.5h16M10 5v14',
  fair: 'M4 19V9M9.3 19V5M14.6 19v-7M20 19V8',
  compare: 'M12 4v16M5 9h14M5 9l-2.5 6h5zM19 9l-2.5 6h5z',
  filter: 'M4 6h16l-6.5 7v6l-3-2v-4z',
} as const;

export type IconName = keyof typeof PATHS;

export function icon(name: IconName): SVGTemplateResult {
  return svg`<svg class="icon" viewBox="0 0 24 24" width="20" height="20" fill="none" stroke="currentColor"
    stroke-width="1.9" stroke-linecap="round" stroke-linejoin="round" aria-hidden="true" focusable="false"><path d=${PATHS[name]} /></svg>`;
}
