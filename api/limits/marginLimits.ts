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
  const level = limitFor(limitSet, 'level', modulation);
  const tilt = limitFor(limitSet, 'tilt', null);
  const flatness = limitFor(limitSet, 'flatness', null);
  const limits: MetricLimits[] = [];
  if (level) limits.push(toMetricLimits('level', level));
  if (tilt) limits.push(toMetricLimits('tilt', tilt));
  if (flatness) limits.push(toMetricLimits('flatness', flatness));
  limits.push({ name: 'MER or CNR margin at least 0 dB', metric: 'mer', min: 0, max: null });
  return limits;
}

function toMetricLimits(metric: 'level' | 'tilt' | 'flatness', limit: Limit): MetricLimits {
  const min = limit.min ?? null;
  const max = limit.max ?? null;
  return { name: `${metric} ${windowWords(min, max)} ${limit.unit}`, metric, min, max };
}

function windowWords(min: number | null, max: number | null): string {
  if (min !== null && max !== null) return `${min} to ${max}`;
  return min !== null ? `at least ${min}` : `at most ${max}`;
}
