import type { MetricState } from './state.ts';
import { DAY_MS, type Metric } from './types.ts';

/** Smaller changes than these are no finding even where the noise would let them be seen, dB. */
const SMALLEST_STEP_DB: Record<Metric, number> = { level: 0.8, tilt: 1, flatness: 1.5, mer: 1.5 };
export const SMALLEST_DRIFT_DB: Record<Metric, number> = { level: 0.4, tilt: 0.5, flatness: 0.8, mer: 0.8 };
/** A step must stand out of what a day does by itself, in standard deviations of the day's hours. */
const SWINGS = 3.5;
/** On the first day the day's swing is not known yet. */
const SMALLEST_FIRST_DAY_DB = 2.5;

/** Smallest step of `metric` that is a finding, dB, `sinceBaselineMs` after the baseline took effect. */
export function smallestStepDb(metric: Metric, m: MetricState, sinceBaselineMs: number): number {
  const smallest = Math.max(SMALLEST_STEP_DB[metric], SWINGS * m.swing);
  return sinceBaselineMs < DAY_MS ? Math.max(smallest, SMALLEST_FIRST_DAY_DB) : smallest;
}
