import type { Modulation } from '../../ingest/plan/channelPlan.ts';
import type { MetricLimits } from '../trend/types.ts';
import { limitFor } from './limitFor.ts';
import type { Limit, LimitSet } from './limitSet.ts';

/**
 * The limits of a set as the trend engine's metrics meet them: level at mid band and tilt against their windows, flatness
 * against its maximum, MER margin against zero (a margin is already counted from the limit).
 *
 * @param modulation of the group of carriers that the level speaks of
 */
export function marginLimits(
  limitSet: Pick<LimitSet, 'limits'>,
  modulation: Modulation | null,
): MetricLimits[] {
  return [
    ...metricLimits('level', limitFor(limitSet, 'level', modulation)),
    ...metricLimits('tilt', limitFor(limitSet, 'tilt', null)),
    ...metricLimits('flatness', limitFor(limitSet, 'flatness', null)),
    { name: 'MER or CNR margin at least 0 dB', metric: 'mer', min: 0, max: null },
  ];
}

/** One, or none when the set has no limit there or a person lifted it. */
function metricLimits(metric: 'level' | 'tilt' | 'flatness', limit: Limit | null): MetricLimits[] {
  const min = limit?.min ?? null;
  const max = limit?.max ?? null;
  if (limit === null || (min === null && max === null)) return [];
  return [{ name: `${metric} ${windowWords(min, max)} ${limit.unit}`, metric, min, max }];
}

function windowWords(min: number | null, max: number | null): string {
  if (min !== null && max !== null) return `${min} to ${max}`;
  return min !== null ? `at least ${min}` : `at most ${max}`;
}
