import type { Spread } from './state.ts';
import { normalCdf } from './statistics/normal.ts';
import type { Finding, Metric, MetricLimits } from './types.ts';

/** Beyond ten years nobody plans. */
const FARTHEST_DAYS = 3650;
/** What a level or margin may still wander by itself, dB: common practice, no source. */
const WANDER_DB = 0.1;
const BISECTIONS = 40;

/** A slow change by now and its rate, in dB of its shape. */
export interface Course {
  readonly sizeDb: number;
  readonly rateDbPerDay: number;
  readonly spread: Spread;
}

/** A figure that has limits: where it would stand without the change, and what 1 dB of the change does to it. */
export interface Affected {
  readonly withoutDb: number;
  readonly perDb: number;
}

type Left = Pick<Finding, 'daysToLimit' | 'limitName'>;

/**
 * Days until the first limit ahead is reached: the chance that it is reached by day t is that of size + rate·t exceeding the distance,
 * both normal, so the 10, 50 and 90 % days follow from where that chance passes 10, 50 and 90 %. Null when no limit lies ahead.
 */
export function forecast(
  course: Course,
  affected: Partial<Record<Metric, Affected>>,
  limits: readonly MetricLimits[],
): Left {
  let best: Left = { daysToLimit: null, limitName: null };
  for (const { metric, name, min, max } of limits) {
    const figure = affected[metric];
    if (figure === undefined || figure.perDb * course.rateDbPerDay === 0) continue;
    const { withoutDb, perDb } = figure;
    const limit = perDb * course.rateDbPerDay < 0 ? min : max;
    if (limit === null) continue;
    const days = quantiles(course, (limit - withoutDb) / perDb, WANDER_DB / Math.abs(perDb));
    if (best.daysToLimit === null || days.p50 < best.daysToLimit.p50)
      best = { daysToLimit: days, limitName: name };
  }
  return best;
}

/** @param limitDb size at which the limit is reached, on the side that the change grows to */
function quantiles(
  { sizeDb, rateDbPerDay, spread }: Course,
  limitDb: number,
  wanderDb: number,
): NonNullable<Finding['daysToLimit']> {
  const { sizeVariance, covariance, rateVariance } = spread;
  const chanceBy = (days: number) => {
    const beyondDb = Math.sign(rateDbPerDay) * (sizeDb + rateDbPerDay * days - limitDb);
    const variance = sizeVariance + 2 * days * covariance + days * days * rateVariance;
    return normalCdf(beyondDb / Math.sqrt(variance + wanderDb ** 2));
  };
  return { p10: dayOf(chanceBy, 0.1), p50: dayOf(chanceBy, 0.5), p90: dayOf(chanceBy, 0.9) };
}

/** The day by which `chanceBy`, which rises, passes `chance`. */
function dayOf(chanceBy: (days: number) => number, chance: number): number {
  if (chanceBy(0) >= chance) return 0;
  if (chanceBy(FARTHEST_DAYS) < chance) return FARTHEST_DAYS;
  let [low, high] = [0, FARTHEST_DAYS];
  for (let i = 0; i < BISECTIONS; i++) {
    const middle = (low + high) / 2;
    if (chanceBy(middle) < chance) low = middle;
    else high = middle;
  }
  return Math.round(high * 10) / 10;
}
