import { type PointTrend, thousandths } from './state.ts';
import type { Observation } from './types.ts';

/** A sweep whose carriers scatter so much more than usual is nonsense, or a fault that the next sweep must show as well. */
const TIMES_USUAL = 3;
const AND_DB = 0.4;
/** Two such sweeps tell of one thing when their carriers lie off alike: correlation of the two patterns. */
const SAME_PATTERN = 0.7;
const FIRST_SCATTER_DB = 0.3;
const LEARNING = 1 / 200;

/**
 * Whether a sweep is to be left out: its carriers scatter about the fit as never before, and no sweep before showed the same
 * pattern. Nothing is lost: it is kept in the store, and a second one like it makes both count. Changes `point`.
 */
export function isOdd(point: PointTrend, { scatterDb, levelRestDb, atMs }: Observation): boolean {
  if (scatterDb === null) return false;
  const usual = point.scatterDb ?? FIRST_SCATTER_DB;
  if (scatterDb <= TIMES_USUAL * usual + AND_DB) {
    point.odd = null;
    return false;
  }
  if (point.odd !== null && patternCorrelation(point.odd.restDb, levelRestDb) >= SAME_PATTERN) {
    point.scatterDb = scatterDb;
    point.odd = null;
    return false;
  }
  point.odd = {
    atMs,
    restDb: levelRestDb.map((rest) => (rest === null ? null : Math.round(rest * 10) / 10)),
  };
  return true;
}

/** Follows the usual scatter slowly. */
export function learnScatter(point: PointTrend, { scatterDb }: Observation): void {
  if (scatterDb === null) return;
  const before = point.scatterDb ?? scatterDb;
  point.scatterDb = thousandths(before + LEARNING * (scatterDb - before));
}

function patternCorrelation(a: readonly (number | null)[], b: readonly (number | null)[]): number {
  let [ab, aa, bb] = [0, 0, 0];
  for (let i = 0; i < Math.min(a.length, b.length); i++) {
    const [x, y] = [a[i] ?? 0, b[i] ?? 0];
    ab += x * y;
    aa += x * x;
    bb += y * y;
  }
  return aa * bb > 0 ? ab / Math.sqrt(aa * bb) : 0;
}
