import { median } from '../../ingest/signal/median.ts';
import { MAD_TO_SD, medianAbsoluteDeviation } from '../../ingest/signal/medianAbsoluteDeviation.ts';
import { openOf, track } from './findings.ts';
import { forecast } from './forecast.ts';
import type { Tracked, TrendState } from './state.ts';
import { thousandths } from './state.ts';
import { hinge } from './statistics/hinge.ts';
import { lagOneCorrelation } from './statistics/lagOneCorrelation.ts';
import { mannKendall, type TrendTest } from './statistics/mannKendall.ts';
import { type SlopeEstimate, theilSen } from './statistics/theilSen.ts';
import { SMALLEST_DRIFT_DB } from './tuning.ts';
import { DAY_MS, type Finding, type Metric, type Reference } from './types.ts';

const NORMAL_80 = 1.2816;
/** Stretches looked at, days, and how sure the trend must be in each: with few days no Z can be high, so the change must be large. */
const WINDOWS = [
  { days: 7, z: 2.9, share: 2 },
  { days: 10, z: 3.3, share: 1.5 },
  { days: 14, z: 3.5, share: 1 },
  { days: 21, z: 3.7, share: 1 },
  { days: 28, z: 3.9, share: 1 },
  { days: 42, z: 4.2, share: 1 },
] as const;
const LONGEST_DAYS = 42;
/** A drift must also exceed the noise of the daily medians about its line, and what the day's own swing could do. */
const NOISES = 4;
const SWINGS = 1.5;
/** Slopes change by themselves more than the scatter about the line tells. */
const SLOPE_WIDENING = 1.3;
const FEWEST_DAYS = 5;

interface Series {
  readonly day: number[];
  readonly value: number[];
  readonly ambient: number[];
}

/**
 * Looks for a slow drift in the daily medians since the last step, free of temperature; or, when one is open, brings its size,
 * slope and forecast up to date. Called once a day. Changes `state`.
 */
export function watchDrift(
  state: TrendState,
  metric: Metric,
  reference: Reference,
  atMs: number,
  changed: Set<Tracked>,
): void {
  const series = seriesSince(state, metric, reference, state.metrics[metric].driftFromDay);
  const open = openOf(state, metric).find(({ finding }) => finding.kind === 'drift');
  if (open) update(state, open, metric, series, reference, changed);
  else if (isDrifting(state, metric, series)) begin(state, metric, series, reference, atMs, changed);
}

function seriesSince(state: TrendState, metric: Metric, reference: Reference, fromDay: number): Series {
  const { days } = state;
  const { perDegree } = state.metrics[metric];
  const series: Series = { day: [], value: [], ambient: [] };
  const last = days.day[days.day.length - 1] ?? 0;
  for (let i = 0; i < days.day.length; i++) {
    const value = days.deviation[metric][i];
    const day = days.day[i]!;
    if (value == null || day < fromDay || day <= last - LONGEST_DAYS) continue;
    const ambient = days.ambient[i];
    const warmer = ambient == null || reference.ambientC === null ? 0 : ambient - reference.ambientC;
    series.day.push(day);
    series.value.push(value - perDegree * warmer);
    series.ambient.push(warmer);
  }
  return series;
}

function isDrifting(state: TrendState, metric: Metric, series: Series): boolean {
  const m = state.metrics[metric];
  const last = series.day[series.day.length - 1] ?? 0;
  return WINDOWS.some((window) => {
    const from = series.day.findIndex((day) => day > last - window.days);
    const day = series.day.slice(from);
    if (day.length < Math.max(FEWEST_DAYS + 1, 0.75 * window.days)) return false;
    const value = series.value.slice(from);
    const { trend, slope, noiseDb } = trendOf(day, value);
    if (!trend || !slope || Math.abs(trend.z) < window.z) return false;
    const change = Math.abs(slope.slope) * (last - day[0]!);
    const warming = Math.abs(theilSen(day, series.ambient.slice(from))?.slope ?? 0) * m.perDegreeError;
    return (
      change >= window.share * SMALLEST_DRIFT_DB[metric] &&
      change >= Math.max(NOISES * noiseDb, SWINGS * m.swing) &&
      Math.abs(slope.slope) >= 2 * warming
    );
  });
}

function trendOf(
  day: readonly number[],
  value: readonly number[],
): { trend: TrendTest | null; slope: SlopeEstimate | null; noiseDb: number } {
  const line = theilSen(day, value);
  if (line === null) return { trend: null, slope: null, noiseDb: 0 };
  const rest = value.map((v, i) => v - line.slope * day[i]!);
  const rho = Math.min(0.8, Math.max(0, lagOneCorrelation(rest)));
  const trend = mannKendall(value, (1 + rho) / (1 - rho));
  const slope = theilSen(day, value, trend?.variance ?? 0, NORMAL_80 * SLOPE_WIDENING);
  return { trend, slope, noiseDb: MAD_TO_SD * (medianAbsoluteDeviation(rest) ?? 0) };
}

function begin(
  state: TrendState,
  metric: Metric,
  series: Series,
  reference: Reference,
  atMs: number,
  changed: Set<Tracked>,
): void {
  const bend = hinge(series.day, series.value);
  if (bend === null) return;
  const finding: Finding = {
    kind: 'drift',
    metric,
    detectedMs: atMs,
    onsetMs: middayOf(bend.at),
    onsetLowMs: middayOf(bend.low) - DAY_MS / 2,
    onsetHighMs: middayOf(bend.high) + DAY_MS / 2,
    sizeDb: 0,
    sizeLowDb: 0,
    sizeHighDb: 0,
    slopeDbPerDay: bend.slope,
    slopeLowDbPerDay: null,
    slopeHighDbPerDay: null,
    daysToLimit: null,
    limitName: null,
    closedMs: null,
    evidence: {},
  };
  const tracked: Tracked = {
    finding,
    fromDb: bend.before,
    peakDb: 0,
    movingDbPerDay: 0,
    settlingUntilMs: 0,
    ledBy: null,
  };
  track(state, tracked, changed);
  update(state, tracked, metric, series, reference, changed);
}

function update(
  state: TrendState,
  tracked: Tracked,
  metric: Metric,
  series: Series,
  reference: Reference,
  changed: Set<Tracked>,
): void {
  const onsetDay = Math.floor(tracked.finding.onsetMs / DAY_MS);
  const from = Math.max(
    0,
    Math.min(
      series.day.findIndex((day) => day >= onsetDay),
      series.day.length - FEWEST_DAYS,
    ),
  );
  const day = series.day.slice(from);
  const value = series.value.slice(from);
  if (day.length < FEWEST_DAYS) return;
  const { trend, slope, noiseDb } = trendOf(day, value);
  if (!trend || !slope) return;

  const laterSteps = openOf(state, metric)
    .filter(({ finding }) => finding.kind === 'step' && finding.detectedMs > tracked.finding.detectedMs)
    .reduce((sum, { finding }) => sum + finding.sizeDb, 0);
  const now = median(value.slice(-3))!;
  const size = now - tracked.fromDb - laterSteps;
  const reach = NORMAL_80 * Math.max(noiseDb, 0.02);
  if (Math.abs(size) > Math.abs(tracked.peakDb)) tracked.peakDb = size;
  const stillMoving = Math.sign(slope.slope) === Math.sign(tracked.peakDb) && Math.abs(trend.z) >= 1;
  tracked.movingDbPerDay = stillMoving ? slope.slope : 0;
  tracked.finding = {
    ...tracked.finding,
    sizeDb: thousandths(size),
    sizeLowDb: thousandths(size - reach),
    sizeHighDb: thousandths(size + reach),
    slopeDbPerDay: slope.slope,
    slopeLowDbPerDay: slope.low,
    slopeHighDbPerDay: slope.high,
    ...(stillMoving
      ? forecast(metric, valueNow(metric, state, reference), slope, reference)
      : { daysToLimit: null, limitName: null }),
    evidence: {
      ...tracked.finding.evidence,
      days: day.length,
      mannKendallZ: thousandths(trend.z),
      dbPerDegree: thousandths(state.metrics[metric].perDegree),
    },
  };
  changed.add(tracked);
}

/** The latest daily median as a meter shows it. */
function valueNow(metric: Metric, state: TrendState, reference: Reference): number {
  const deviation = state.days.deviation[metric].findLast((value) => value !== null) ?? 0;
  if (metric === 'level') return reference.levelDbmv + deviation;
  if (metric === 'tilt') return reference.tiltDb + deviation;
  if (metric === 'flatness') return reference.flatnessDb + deviation;
  return (reference.merMarginDb ?? 0) + deviation;
}

function middayOf(day: number): number {
  return day * DAY_MS + DAY_MS / 2;
}
