import { median } from '../../ingest/signal/median.ts';
import { watchDrift } from './driftWatch.ts';
import { tidy } from './findings.ts';
import type { DayState, MetricState, Tracked, TrendState } from './state.ts';
import { thousandths } from './state.ts';
import { quantile } from './statistics/quantile.ts';
import { learnTemperature } from './temperature.ts';
import { METRICS, type Reference } from './types.ts';

const DAYS_KEPT = 42;
const FEWEST_HOURS = 4;
/** 10 % to 90 % of a normal spans so many standard deviations. */
const DECILE_SPAN = 2.563;
const SWING_SHARE = 0.2;

/**
 * Ends the day in progress: its medians join the others, the metrics learn from it how they follow temperature and how far a day
 * swings, and drifts are looked for. Changes `state`.
 */
export function endDay(
  state: TrendState,
  reference: Reference | null,
  atMs: number,
  ambientC: number | null,
  changed: Set<Tracked>,
): void {
  const { day } = state;
  state.day = null;
  if (day === null || reference === null || state.baselineVersion === null) return;
  keep(state, day);
  for (const metric of METRICS) {
    const m = state.metrics[metric];
    learnSwing(m, day, day.deviation[metric], reference.ambientC);
    const moved = learnTemperature(m, day.hour, day.ambient, day.deviation[metric]);
    const warmer = ambientC === null || reference.ambientC === null ? 0 : ambientC - reference.ambientC;
    shift(state, m, metric, -moved * warmer);
    watchDrift(state, metric, reference, atMs, changed);
    m.disturbed = false;
  }
  tidy(state, atMs, changed);
}

function keep(state: TrendState, day: DayState): void {
  const { days } = state;
  days.day.push(day.day);
  days.ambient.push(rounded(median(day.ambient)));
  for (const metric of METRICS) days.deviation[metric].push(rounded(median(day.deviation[metric])));
  if (days.day.length <= DAYS_KEPT) return;
  days.day.shift();
  days.ambient.shift();
  for (const metric of METRICS) days.deviation[metric].shift();
}

function learnSwing(
  m: MetricState,
  day: DayState,
  deviation: readonly (number | null)[],
  thenC: number | null,
): void {
  const corrected: number[] = [];
  for (let i = 0; i < deviation.length; i++) {
    const ambient = day.ambient[i];
    const warmer = ambient == null || thenC === null ? 0 : ambient - thenC;
    if (deviation[i] !== null) corrected.push(deviation[i]! - m.perDegree * warmer);
  }
  if (corrected.length < FEWEST_HOURS || m.disturbed) return;
  const swing = (quantile(corrected, 0.9)! - quantile(corrected, 0.1)!) / DECILE_SPAN;
  m.swing += SWING_SHARE * (Math.min(swing, 2 * m.swing) - m.swing);
}

/** A better coefficient moves the corrected deviation; what is remembered of it moves along. */
function shift(state: TrendState, m: MetricState, metric: string, byDb: number): void {
  if (byDb === 0) return;
  m.level += byDb;
  m.recent = m.recent.map(([at, value]) => [at, thousandths(value + byDb)]);
  for (const tracked of state.tracked) if (tracked.finding.metric === metric) tracked.fromDb += byDb;
}

function rounded(value: number | null): number | null {
  return value === null ? null : thousandths(value);
}
