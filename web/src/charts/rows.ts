/**
 * The common ground of the pictures: one named line per row, one axis below.
 *
 * Enters: rows with a name and values along one axis. Leaves: drawings for `<fp-figure>`.
 * Always true: the name stands above its line, so that long names fit a phone; positions come from the engine's
 *   numbers alone.
 * Never: draws what has no number.
 */
import type { Markish } from '@observablehq/plot';
import type { Drawing, Plot } from './figure.ts';

export const ROW = 66;
export const SMALL_ROW = 52;
/** On a narrow page name and count take two lines, and each row is this much higher. */
const NOTE_LINE = 18;
const NARROW = 700;
const TOP = 6;
const BOTTOM = 44;
const SIDE = 14;

export interface RowName { name: string; note: string; colour?: string; symbol?: string }

/** Where row `index` has its middle line, in row units counted downwards. */
export const middle = (index: number): number => index + 0.66;
/** Where points stand when a summary line stands under them. */
export const points = (index: number): number => index + 0.58;
export const summaryLine = (index: number): number => index + 0.87;

export function rowsDrawing(
  names: readonly RowName[], axis: string, usualHeight: number, domain: [number, number] | undefined,
  marksOf: (plot: Plot) => Markish[],
): Drawing {
  const narrow = innerWidth < NARROW;
  const rowHeight = usualHeight + (narrow ? NOTE_LINE : 0);
  const height = TOP + BOTTOM + names.length * rowHeight;
  return {
    height,
    draw: (plot, width) =>
      plot.plot({
        width,
        height,
        marginTop: TOP,
        marginBottom: BOTTOM,
        marginLeft: SIDE,
        marginRight: SIDE,
        style: { background: 'transparent', color: 'var(--ink)', fontSize: '13px', fontFamily: 'inherit', overflow: 'visible' },
        x: { label: axis, labelAnchor: 'center', labelArrow: 'none', grid: true, ticks: Math.max(3, Math.floor(width / 110)), nice: true, ...(domain ? { domain } : {}) },
        y: { domain: [0, names.length], range: [TOP, TOP + names.length * rowHeight], axis: null },
        marks: [
          plot.ruleY(names.slice(1).map((_, index) => index + 1), { stroke: 'var(--line)' }),
          ...names.flatMap((row, index) => nameMarks(plot, row, index, rowHeight, narrow, width)),
          ...marksOf(plot),
        ],
      }),
  };
}

function nameMarks(plot: Plot, row: RowName, index: number, rowHeight: number, narrow: boolean, width: number): Markish[] {
  const { colour } = row;
  const y = (): number => index + 12 / rowHeight;
  const key = colour !== undefined;
  // In ems of the text, which is bold and so wider than the library reckons, less what the sign and the count take.
  const lineWidth = (width - 2 * SIDE - (key ? 18 : 0) - (narrow || row.note === '' ? 0 : 110)) / 14.3;
  return [
    ...(colour !== undefined ? [plot.dot([0], { frameAnchor: 'left', y, dx: 6, r: 5, fill: colour, symbol: (row.symbol ?? 'circle') as 'circle' })] : []),
    ...(narrow
      // The end of a name tells groups apart, so it goes on in a second line and is not cut.
      ? [plot.text([oneLineDates(row.note === '' ? row.name : `${row.name} · ${row.note}`)], { frameAnchor: 'left', y: () => index + 5 / rowHeight, lineAnchor: 'top', dx: key ? 18 : 0, textAnchor: 'start', fontWeight: 600, fill: 'var(--ink)', lineWidth })]
      : [
        plot.text([row.name], { frameAnchor: 'left', y, dx: key ? 18 : 0, textAnchor: 'start', fontWeight: 600, fill: 'var(--ink)', lineWidth, textOverflow: 'ellipsis' }),
        plot.text([row.note], { frameAnchor: 'right', y, textAnchor: 'end', fill: 'var(--ink-soft)' }),
      ]),
  ];
}

/** The same text with hyphens at which no line ends, inside dates. */
const oneLineDates = (text: string): string => text.replace(/(\d{4})-(\d\d)-(\d\d)/g, '$1\u2011$2\u2011$3');

/** Points side by side where they would cover each other: a spread of -1 to 1 for each value, in the order given. */
export function spread(values: readonly number[], closeness: number): number[] {
  const order = values.map((value, index) => ({ value, index })).sort((a, b) => a.value - b.value || a.index - b.index);
  const lanes: number[] = [];
  const out = new Array<number>(values.length).fill(0);
  for (const { value, index } of order) {
    let lane = lanes.findIndex((last) => value - last >= closeness);
    if (lane < 0) lane = lanes.length;
    lanes[lane] = value;
    out[index] = lane;
  }
  const n = lanes.length - 1 + ((lanes.length - 1) % 2);
  // Lanes fan out from the middle: 0, 1, -1, 2, -2 ...
  return out.map((lane) => ((lane % 2 === 0 ? -1 : 1) * Math.ceil(lane / 2) * 2) / Math.max(4, n));
}
