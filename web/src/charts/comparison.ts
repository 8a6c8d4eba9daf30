/**
 * Pictures of a comparison.
 *
 * Enters: a comparison as the engine gives it. Leaves: the steps from raw to fair against zero, the levels, the balance.
 * Always true: every point and every interval end is a number of the table under the picture.
 * Never: draws a step that could not be estimated; it says so in its place.
 */
import type { BalanceInfo, ComparisonView, PairInfo } from '../engine/generated/core.js';
import type { Drawing, FigureTable } from './figure.ts';
import { markAt } from './group-marks.ts';
import { middle, points, ROW, rowsDrawing, SMALL_ROW, spread, summaryLine } from './rows.ts';

/** Above this standardised difference two levels differ enough to mind (the engine marks them `large`). */
const MIND = 0.25;
/** From here on the bars are cut: the table holds the figure. */
const MOST = 2;

/** Rows of the balance that are drawn; the table holds all. */
export const MOST_BALANCE_ROWS = 14;

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** First minus second, from raw to fair, one step per line, against zero. */
export function steps(view: ComparisonView, pair: PairInfo): { drawing: Drawing; table: FigureTable } {
  const { unit } = view;
  const first = view.levels[pair.first]?.name ?? '';
  const second = view.levels[pair.second]?.name ?? '';
  const ends = pair.steps.flatMap((step) => (step.difference == null ? [] : [step.difference.lower, step.difference.upper]));
  const domain: [number, number] = [Math.min(0, ...ends), Math.max(0, ...ends)];
  const drawing = rowsDrawing(
    pair.steps.map((step, index) => ({
      name: `${index + 1}. ${capital(step.words)}`,
      note: step.difference == null ? 'cannot be said' : step.difference.text,
    })),
    `${first} above ${second}${unit === '' ? '' : `, ${unit}`}`, SMALL_ROW, domain,
    (plot) => [
      plot.ruleX([0], { stroke: 'var(--ink)', strokeWidth: 1.5 }),
      ...pair.steps.flatMap((step, index) => {
        const { difference } = step;
        if (difference == null) return [];
        const last = index === pair.steps.length - 1;
        const colour = last ? 'var(--action)' : 'var(--ink-soft)';
        const y = (): number => middle(index);
        return [
          plot.link([0], { x1: () => difference.lower, x2: () => difference.upper, y1: y, y2: y, stroke: colour, strokeWidth: last ? 5 : 3, strokeLinecap: 'round' }),
          plot.dot([difference.value], { x: (value: number) => value, y, r: last ? 7 : 5, fill: colour, stroke: 'var(--ground)', strokeWidth: 1.5, symbol: last ? 'diamond' : 'circle' }),
        ];
      }),
    ],
  );
  const rows = pair.steps.map((step) => [step.words, step.difference?.text ?? 'cannot be said', step.difference?.intervalText ?? '', step.difference?.pText ?? '']);
  return { drawing, table: { head: ['Step', `${first} minus ${second}`, 'Likely between', 'p'], rows, numbers: [1, 2, 3] } };
}

/** Calves of each level, with the raw mean and the mean made fair. `order` gives each level its colour for good. */
export function levels(view: ComparisonView, order: readonly string[]): { drawing: Drawing; table: FigureTable } {
  const { unit } = view;
  const all = view.levels.flatMap((level) => level.weights);
  const closeness = all.length === 0 ? 1 : (Math.max(...all) - Math.min(...all)) / 90;
  const mark = (name: string): ReturnType<typeof markAt> => markAt(Math.max(0, order.indexOf(name)));
  const drawing = rowsDrawing(
    view.levels.map((level) => ({ name: level.name, note: `${level.n} ${level.n === 1 ? 'calf' : 'calves'}`, ...mark(level.name) })),
    `${view.model.marks}${unit === '' ? '' : `, ${unit}`}`, ROW, undefined,
    (plot) => view.levels.flatMap((level, index) => {
      const { colour, symbol } = mark(level.name);
      const offsets = spread(level.weights, closeness);
      const { lsMean } = level;
      return [
        plot.dot(level.weights, { x: (value: number) => value, y: (_: number, i: number) => points(index) + (offsets[i] ?? 0) * 0.14, r: 3.5, fill: colour, fillOpacity: 0.5, symbol }),
        ...(lsMean == null ? [] : [
          plot.link([0], { x1: () => lsMean.lower, x2: () => lsMean.upper, y1: () => summaryLine(index), y2: () => summaryLine(index), stroke: 'var(--ink)', strokeWidth: 3.5 }),
          plot.link([0], { x1: () => lsMean.value, x2: () => lsMean.value, y1: () => index + 0.5, y2: () => index + 0.96, stroke: 'var(--ink)', strokeWidth: 3.5 }),
        ]),
        ...(level.adjustedMean == null ? [] : [plot.dot([level.adjustedMean], { x: (value: number) => value, y: () => summaryLine(index), r: 5.5, fill: 'var(--ground)', stroke: 'var(--ink)', strokeWidth: 2 })]),
      ];
    }),
  );
  const rows = view.levels.map((level) => [
    level.name, String(level.n), level.rawMeanText, level.ageAdjustedMeanText, level.adjustedMeanText, level.lsMean?.text ?? '', level.lsMean?.intervalText ?? '',
  ]);
  return { drawing, table: { head: levelHead(unit), rows, numbers: [1, 2, 3, 4, 5, 6] } };
}

const inUnit = (unit: string): string => (unit === '' ? '' : ` (${unit})`);

export function levelHead(unit: string): string[] {
  return ['Level', 'Calves used', `Mean as recorded${inUnit(unit)}`, `Adjusted for age${inUnit(unit)}`, `Adjusted by published factors${inUnit(unit)}`, `Mean made fair by the model${inUnit(unit)}`, 'Likely between'];
}

/** How far apart the levels stand in what else could make a difference. */
export function balance(view: ComparisonView): { drawing: Drawing; table: FigureTable } {
  const far = (row: BalanceInfo): number => Math.abs(row.standardisedDifference ?? 0);
  const drawn = view.balance.filter((row) => row.standardisedDifference != null).sort((a, b) => far(b) - far(a)).slice(0, MOST_BALANCE_ROWS);
  const drawing = rowsDrawing(
    drawn.map((row) => ({ name: capital(row.words), note: row.large ? 'differs' : '' })),
    'How far apart, in standard deviations', SMALL_ROW, [0, Math.min(MOST, Math.max(0.5, ...drawn.map(far)))],
    (plot) => [
      plot.ruleX([MIND], { stroke: 'var(--attention)', strokeDasharray: '5 4', strokeWidth: 1.5 }),
      plot.ruleX([0], { stroke: 'var(--ink)' }),
      ...drawn.flatMap((row, index) => {
        const y = (): number => middle(index);
        return [plot.link([0], { x1: () => 0, x2: () => Math.min(MOST, far(row)), y1: y, y2: y, strokeWidth: 12, stroke: row.large ? 'var(--attention-mark)' : 'var(--bar-mark)' })];
      }),
    ],
  );
  const rows = view.balance.map((row) => [row.words, ...row.texts, row.standardisedDifference == null ? '' : row.standardisedDifference.toFixed(2).replace(/^-/, '\u2212')]);
  return { drawing, table: { head: ['What', ...view.levels.map((level) => level.name), 'Apart, in standard deviations'], rows, numbers: view.levels.map((_, index) => index + 1).concat(view.levels.length + 1) } };
}
