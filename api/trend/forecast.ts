import { normalCdf } from './statistics/normal.ts';
import type { Features, Finding, Metric, MetricLimits } from './types.ts';

/** Beyond ten years nobody plans. */
const FARTHEST_DAYS = 3650;
/** What a level or margin may still wander by itself, dB: common practice, no source. */
const WANDER_DB = 0.1;
/** Slopes change by themselves more than the fit tells: standard error times so much. */
const SLOPE_WIDENING = 1.3;
const BISECTIONS = 40;

/** Where the figures that have limits stand now, and how fast each moves, dB a day with its standard error. */
export interface Course {
  readonly now: Partial<Record<Metric, number>>;
  readonly slope: Partial<Record<Metric, number>>;
  readonly slopeError: Partial<Record<Metric, number>>;
}

type Left = Pick<Finding, 'daysToLimit' | 'limitName'>;

/**
 * Days until the first limit ahead is reached: the chance that it is reached by day t is that of slope·t exceeding the distance, both
 * normal, so the 10, 50 and 90 % days follow from where that chance passes 10, 50 and 90 %. Null when no limit lies ahead.
 */
export function forecast(course: Course, limits: readonly MetricLimits[]): Left {
  let best: Left = { daysToLimit: null, limitName: null };
  for (const { metric, name, min, max } of limits) {
    const slope = course.slope[metric] ?? 0;
    const now = course.now[metric];
    const limit = slope < 0 ? min : max;
    if (slope === 0 || now === undefined || limit === null) continue;
    const distance = (limit - now) * Math.sign(slope);
    const days = quantiles(distance, Math.abs(slope), SLOPE_WIDENING * (course.slopeError[metric] ?? 0));
    if (best.daysToLimit === null || days.p50 < best.daysToLimit.p50)
      best = { daysToLimit: days, limitName: name };
  }
  return best;
}

function quantiles(
  distanceDb: number,
  slope: number,
  slopeError: number,
): NonNullable<Finding['daysToLimit']> {
  const chanceBy = (days: number) =>
    normalCdf((slope * days - distanceDb) / Math.hypot(slopeError * days, WANDER_DB));
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

/** Slopes of the metrics that have limits, from those of the features. */
export function metricSlopes(features: Partial<Features>): Partial<Record<Metric, number>> {
  const { level = 0, tilt = 0, mer = 0 } = features;
  return { level, tilt, mer };
}
