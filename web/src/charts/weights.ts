/**
 * Pictures of adjusted weights by contemporary group.
 *
 * Enters: the groups view. Leaves: the strip of calves by group, and the sizes and spreads of groups, with tables.
 * Always true: every calf of every group is a point; the thick line is the mean and one standard deviation to either side.
 * Never: draws a spread for a group of one.
 */
import type { GroupInfo, GroupsView } from '../engine/generated/core.js';
import type { Drawing, FigureTable, Plot } from './figure.ts';
import { markAt } from './group-marks.ts';
import { middle, points, ROW, rowsDrawing, SMALL_ROW, spread, summaryLine } from './rows.ts';
import type { Markish } from '@observablehq/plot';

const lowest = (group: GroupInfo): number => group.weights.reduce((least, weight) => Math.min(least, weight), Infinity);
const highest = (group: GroupInfo): number => group.weights.reduce((most, weight) => Math.max(most, weight), -Infinity);
const calves = (n: number): string => `${n} ${n === 1 ? 'calf' : 'calves'}`;

function names(groups: readonly GroupInfo[]): { name: string; note: string; colour: string; symbol: string }[] {
  return groups.map((group, index) => ({ name: group.name, note: calves(group.n), ...markAt(index) }));
}

function spreadMark(plot: Plot, group: GroupInfo, index: number): Markish[] {
  const { sd } = group;
  if (sd == null) return [];
  const y = (): number => summaryLine(index);
  return [plot.link([0], { x1: () => group.mean - sd, x2: () => group.mean + sd, y1: y, y2: y, stroke: 'var(--ink)', strokeWidth: 2.5 })];
}

function meanMark(plot: Plot, group: GroupInfo, index: number): Markish[] {
  const line = (stroke: string, strokeWidth: number): Markish =>
    plot.link([0], { x1: () => group.mean, x2: () => group.mean, y1: () => index + 0.44, y2: () => index + (strokeWidth > 4 ? 0.8 : 0.95), stroke, strokeWidth });
  return [line('var(--ground-raised)', 6), line('var(--ink)', 3)];
}

/** One point per calf, group by group; the selected calf is ringed and named. */
export function strip(view: GroupsView, selected: number | null): { drawing: Drawing; table: FigureTable } {
  const { groups, unit } = view;
  const all = groups.flatMap((group) => group.weights);
  const closeness = all.length === 0 ? 1 : (Math.max(...all) - Math.min(...all)) / 90;
  const drawing = rowsDrawing(names(groups), `Adjusted 205-day weight, ${unit}`, ROW, undefined, (plot) =>
    groups.flatMap((group, index) => {
      const { colour, symbol } = markAt(index);
      const offsets = spread(group.weights, closeness);
      const at = selected === null ? -1 : group.rowKeys.indexOf(selected);
      const weight = group.weights[at];
      return [
        ...spreadMark(plot, group, index),
        // One calf is its own mean: a line over it would say nothing and hide it.
        ...(group.weights.length > 1 ? meanMark(plot, group, index) : []),
        plot.dot(group.weights, { x: (value: number) => value, y: (_: number, i: number) => points(index) + (offsets[i] ?? 0) * 0.14, r: 4, fill: colour, fillOpacity: 0.72, symbol }),
        ...(weight === undefined ? [] : [
          plot.dot([weight], { x: (value: number) => value, y: () => points(index) + (offsets[at] ?? 0) * 0.14, r: 8, stroke: 'var(--action)', strokeWidth: 3 }),
          plot.text([group.tags[at] ?? ''], { x: () => weight, y: () => points(index) + (offsets[at] ?? 0) * 0.14, dy: -15, fill: 'var(--action)', stroke: 'var(--ground)', strokeWidth: 4, fontWeight: 700 }),
        ]),
      ];
    }),
  );
  const rows = groups.flatMap((group) =>
    group.weights.map((weight, index) => [group.tags[index] ?? '', group.name, weight.toFixed(1)]));
  return { drawing, table: { head: ['Tag', 'Group', `Adjusted 205-day weight (${unit})`], rows, numbers: [2] } };
}

/** More rows than this would not be read; the table holds all. */
export const MOST_ROWS = 60;

/** Range, spread and mean of each group (the largest if there are many), with its size. */
export function spreads(view: GroupsView): { drawing: Drawing; table: FigureTable } {
  const { unit } = view;
  const all = view.groups;
  const least = [...all].map((group) => group.n).sort((a, b) => b - a)[MOST_ROWS - 1] ?? 0;
  const shown = all.map((group, index) => ({ group, index })).filter(({ group }) => group.n >= least).slice(0, MOST_ROWS);
  const groups = shown.map(({ group }) => group);
  const markOf = (row: number): ReturnType<typeof markAt> => markAt(shown[row]?.index ?? 0);
  const drawing = rowsDrawing(groups.map((group, row) => ({ name: group.name, note: calves(group.n), ...markOf(row) })), `Adjusted 205-day weight, ${unit}`, SMALL_ROW, undefined, (plot) =>
    groups.flatMap((group, index) => {
      const { colour } = markOf(index);
      const { sd } = group;
      const y = (): number => middle(index);
      return [
        plot.link([0], { x1: () => lowest(group), x2: () => highest(group), y1: y, y2: y, stroke: colour, strokeWidth: 2 }),
        ...(sd == null ? [] : [plot.link([0], { x1: () => group.mean - sd, x2: () => group.mean + sd, y1: y, y2: y, stroke: colour, strokeWidth: 11, strokeOpacity: 0.65 })]),
        ...meanMark(plot, group, index),
      ];
    }),
  );
  const rows = all.map((group) => [
    group.name, String(group.n), group.meanText, group.sdText,
    lowest(group).toFixed(1), highest(group).toFixed(1),
  ]);
  return { drawing, table: { head: ['Group', 'Calves', `Mean (${unit})`, `Standard deviation (${unit})`, `Lowest (${unit})`, `Highest (${unit})`], rows, numbers: [1, 2, 3, 4, 5] } };
}
