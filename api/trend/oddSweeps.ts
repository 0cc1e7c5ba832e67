import { thousandths } from './rounding.ts';
import type { PointTrend } from './state.ts';
import type { Observation } from './types.ts';

/** A sweep whose carriers scatter so much more than usual is nonsense, or a fault that the next sweep must show as well. */
const TIMES_USUAL = 3;
const AND_DB = 0.4;
/** Two such sweeps tell of one thing when their carriers lie off alike: correlation of the two patterns. */
const SAME_PATTERN = 0.7;
const FIRST_SCATTER_DB = 0.3;
const LEARNING = 1 / 200;
/** Root mean square of the carriers' rests over the noise of one reading. Common practice, no source. */
const ROUGH = 2;

/** A sweep that was unlike all others, as it is remembered while the next is awaited. */
export type OddSweep = NonNullable<PointTrend['odd']>;

/**
 * Whether a sweep is to be left out: its carriers scatter about the fit as never before, and no sweep before showed the same
 * pattern. Nothing is lost: it is kept in the store, and a second one like it makes both count: the first is then answered as `before`.
 * Changes `point`.
 */
export function judgeOdd(
  point: PointTrend,
  { scatterDb, levelRestDb, atMs }: Observation,
): { readonly isOdd: boolean; readonly before: OddSweep | null } {
  if (scatterDb === null) return { isOdd: false, before: null };
  const { odd } = point;
  point.odd = null;
  const usual = point.scatterDb ?? FIRST_SCATTER_DB;
  if (scatterDb <= TIMES_USUAL * usual + AND_DB) return { isOdd: false, before: null };
  if (odd !== null && patternCorrelation(odd.restDb, levelRestDb) >= SAME_PATTERN) {
    point.scatterDb = scatterDb;
    return { isOdd: false, before: odd };
  }
  point.odd = {
    atMs,
    restDb: levelRestDb.map((rest) => (rest === null ? null : Math.round(rest * 10) / 10)),
  };
  return { isOdd: true, before: null };
}

/** The first of two sweeps that are unlike all others and like one another, as far as it is remembered. */
export function firstOfTwo({ atMs, restDb }: OddSweep, second: Observation): Observation {
  return { ...second, atMs, levelRestDb: restDb, merRestDb: [] };
}

/** Whether a sweep's carriers lie off the fit by more than the noise of their readings makes them, some of them or all. */
export function isRough({ channels }: PointTrend, { levelRestDb }: Observation): boolean {
  let [squares, count] = [0, 0];
  for (const rest of levelRestDb) {
    if (rest === null) continue;
    squares += rest * rest;
    count++;
  }
  return squares > count * (ROUGH * channels.level.noiseDb) ** 2;
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
