import type { SlopeEstimate } from './statistics/theilSen.ts';
import type { Finding, Metric, Reference } from './types.ts';

/** Beyond ten years nobody plans. */
const FARTHEST_DAYS = 3650;

/**
 * Days until the first limit of `metric` that lies in the direction of `slope` is reached, from the value now (dBmV or
 * dB as the limit). The quantiles are those of distance over slope: an interval of the slope that is 80 % sure
 * gives the 10 % and 90 % ones. Null when no limit lies ahead.
 */
export function forecast(
  metric: Metric,
  valueNow: number,
  slope: SlopeEstimate,
  reference: Reference,
): Pick<Finding, 'daysToLimit' | 'limitName'> {
  let best: Pick<Finding, 'daysToLimit' | 'limitName'> = { daysToLimit: null, limitName: null };
  for (const limits of reference.limits) {
    if (limits.metric !== metric) continue;
    const limit = slope.slope < 0 ? limits.min : limits.max;
    if (limit === null || slope.slope === 0) continue;
    const distance = (limit - valueNow) * Math.sign(slope.slope);
    const days = quantiles(distance, slope);
    if (best.daysToLimit === null || days.p50 < best.daysToLimit.p50) {
      best = { daysToLimit: days, limitName: limits.name };
    }
  }
  return best;
}

function quantiles(distance: number, slope: SlopeEstimate) {
  const sign = Math.sign(slope.slope);
  const [slow, fast] = sign > 0 ? [slope.low, slope.high] : [-slope.high, -slope.low];
  return {
    p10: days(distance, fast),
    p50: days(distance, sign * slope.slope),
    p90: days(distance, slow),
  };
}

function days(distance: number, perDay: number): number {
  if (distance <= 0) return 0;
  if (perDay <= 0) return FARTHEST_DAYS;
  return Math.round(Math.min(FARTHEST_DAYS, distance / perDay) * 10) / 10;
}
