/**
 * The columns of a sheet in the order and number in which a look shows them.
 *
 * Enters: the columns there are, and the look of the sheet. Leaves: what to show, and changed places.
 * Always true: every column stands in the arrangement once; columns that the look does not name stand at the end;
 *   a column without a choice is shown while it is in use, and one that she added before it is; one column at least
 *   is shown.
 * Never: asks the engine or draws.
 */
import type { ColumnInfo, LookColumn, SheetLook } from '../../engine/generated/core.js';

/** Shown in an empty sheet, so that there is something to type into; the rarer ones stand back until they are used. */
const USUAL: Record<string, readonly string[]> = {
  calves: ['tag', 'sex', 'birth_date', 'birth_weight', 'dam', 'dam_age', 'sire', 'place', 'wean_date', 'wean_weight', 'note'],
  cows: ['tag', 'birth_date', 'birth_year', 'age_from', 'breed', 'came_on', 'came_as', 'left_on', 'left_because', 'note'],
  bulls: ['tag', 'name', 'birth_date', 'breed', 'service', 'note'],
  exposures: ['season', 'cow', 'from', 'to', 'bulls', 'ai_date', 'note'],
  checks: ['cow', 'date', 'result', 'stage', 'method', 'checked_by', 'remarks'],
  places: ['name', 'kind', 'area', 'daily_cost', 'note'],
  stays: ['animal', 'place', 'from', 'to'],
  weights: ['animal', 'date', 'weight'],
  weigh_days: ['date', 'places', 'hours_off_feed', 'hours_off_water', 'hauled', 'scale', 'note'],
  scores: ['animal', 'date', 'what', 'value', 'scored_by'],
  treatments: ['animal', 'place', 'date', 'product', 'dose', 'route', 'reason', 'withdrawal_days', 'given_by'],
};

export interface Arranged {
  info: ColumnInfo;
  shown: boolean;
  /** What was chosen; undefined where use decides. */
  choice: boolean | undefined;
}

export function arranged(sheet: string, columns: readonly ColumnInfo[], places: readonly LookColumn[]): Arranged[] {
  const usual = USUAL[sheet];
  const first = columns[0]?.key;
  const inUse = (info: ColumnInfo): boolean =>
    info.key === first || !info.empty || (info.origin === 'own' && !info.fromFile) || (usual?.includes(info.key) ?? info.origin === 'entered');
  const byKey = new Map(columns.map((info) => [info.key, info]));
  const named = places.flatMap(({ column, shown }): Arranged[] => {
    const info = byKey.get(column);
    if (info === undefined) return [];
    byKey.delete(column);
    return [{ info, choice: shown ?? undefined, shown: shown ?? inUse(info) }];
  });
  const all = [...named, ...[...byKey.values()].map((info) => ({ info, choice: undefined, shown: inUse(info) }))];
  const [one] = all;
  return one === undefined || all.some(({ shown }) => shown) ? all : [{ ...one, shown: true }, ...all.slice(1)];
}

const asPlaces = (all: readonly Arranged[]): LookColumn[] => all.map(({ info, choice }) => ({ column: info.key, shown: choice }));

/**
 * Places of columns that are not there any more are kept behind those that are, for the day they come back.
 */
function withWaiting(all: readonly Arranged[], before: readonly LookColumn[]): LookColumn[] {
  const there = new Set(all.map(({ info }) => info.key));
  return [...asPlaces(all), ...before.filter(({ column }) => !there.has(column))];
}

/** Shows or hides columns; `undefined` lets use decide. */
export function withShown(all: readonly Arranged[], before: readonly LookColumn[], keys: readonly string[], shown: boolean | undefined): LookColumn[] {
  return withWaiting(all.map((one) => (keys.includes(one.info.key) ? { ...one, choice: shown } : one)), before);
}

/** Moves a column to a place among the columns shown, counted without it. */
export function withMoved(all: readonly Arranged[], before: readonly LookColumn[], key: string, to: number): LookColumn[] {
  const moving = all.find(({ info }) => info.key === key);
  if (moving === undefined) return withWaiting(all, before);
  const rest = all.filter((one) => one !== moving);
  const shown = rest.filter((one) => one.shown);
  const next = shown[to];
  const last = shown[shown.length - 1];
  // Before the one that will follow it, or right behind the last shown.
  const at = next !== undefined ? rest.indexOf(next) : last === undefined ? 0 : rest.indexOf(last) + 1;
  return withWaiting([...rest.slice(0, at), moving, ...rest.slice(at)], before);
}

/** Columns that were hidden by choice, and those that stand back because nothing uses them. */
export function hiddenOf(all: readonly Arranged[]): { chosen: Arranged[]; unused: Arranged[] } {
  const away = all.filter(({ shown }) => !shown);
  return { chosen: away.filter(({ choice }) => choice === false), unused: away.filter(({ choice }) => choice === undefined) };
}

/** How many leading columns stay in sight after one of them was hidden or moved away: the look keeps the number. */
export const frozenOf = (look: SheetLook | undefined): number => Math.max(1, look?.frozen ?? 1);
