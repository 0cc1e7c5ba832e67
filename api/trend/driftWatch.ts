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
import { restartAt, type Step, spreadDb } from './stepWatch.ts';
import { SMALLEST_DRIFT_DB } from './tuning.ts';
import { DAY_MS, type Finding, type Metric, type Reference, UNMEASURED } from './types.ts';

const NORMAL_80 = 1.2816;
/** Stretches looked at, days, and how sure the trend must be in each: with few days no Z can be high, so the change must be large. */
const WINDOWS = [
  { days: 4, z: 1.69, share: 3 },
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
/** Where the air temperature isn't known, the seasons may do as much as some of the day's swings. */
const SWINGS_UNKNOWN = 3;
/** Slopes change by themselves more than the scatter about the line tells. */
const SLOPE_WIDENING = 1.3;
const FEWEST_DAYS = 4;
/** Onset and starting level of a drift are worked over for so long. */
const REFINING_MS = 21 * DAY_MS;
/** Until the swing of a day is known, it may look like a ramp. */
const DAYS_BEFORE_RAMPS = 5;
/** Sweeps behind the level after a ramp was seen. */
const RAMP_SWEEPS = 4;
const FEWEST_DAYS_TO_DATE = 6;

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
  const swings = (series.ambient.some((warmer) => warmer !== 0) ? SWINGS : SWINGS_UNKNOWN) * m.swing;
  return WINDOWS.some((window) => {
    const from = series.day.findIndex((day) => day > last - window.days);
    const day = series.day.slice(from);
    if (day.length < Math.max(FEWEST_DAYS, 0.75 * window.days)) return false;
    const value = series.value.slice(from);
    if (Math.abs(mannKendall(value)!.z) < window.z) return false;

    const { trend, slope, noiseDb } = trendOf(day, value);
    if (!trend || !slope || Math.abs(trend.z) < window.z) return false;
    const change = Math.abs(slope.slope) * (last - day[0]!);
    const warming = Math.abs(theilSen(day, series.ambient.slice(from))?.slope ?? 0) * m.perDegreeError;
    return (
      change >= Math.max(window.share * SMALLEST_DRIFT_DB[metric], NOISES * noiseDb, swings) &&
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
  const tracked = newDrift(metric, atMs, bend?.before ?? series.value[0]!, {
    onsetMs: middayOf(bend?.at ?? series.day[0]!),
    onsetLowMs: middayOf(bend?.low ?? series.day[0]!) - DAY_MS / 2,
    onsetHighMs: middayOf(bend?.high ?? series.day[1]!) + DAY_MS / 2,
  });
  track(state, tracked, changed);
  update(state, tracked, metric, series, reference, changed);
}

/**
 * Begins a drift from a change that the sums confirmed on single sweeps and that came without a jump: fast for a drift, and
 * not abrupt. Nothing is said when a drift of this metric is open already.
 */
export function takeRamp(
  state: TrendState,
  metric: Metric,
  ramp: Step,
  atMs: number,
  changed: Set<Tracked>,
): void {
  const m = state.metrics[metric];
  restartAt(m, ramp.afterDb, RAMP_SWEEPS);
  if (atMs - state.baselineSinceMs < DAYS_BEFORE_RAMPS * DAY_MS) return;
  if (openOf(state, metric).some(({ finding }) => finding.kind === 'drift')) return;
  const size = ramp.afterDb - ramp.beforeDb;
  const slope = size / Math.max(0.25, (atMs - ramp.onsetMs) / DAY_MS);
  const tracked = newDrift(metric, atMs, ramp.beforeDb, ramp);
  tracked.peakDb = size;
  tracked.finding = {
    ...tracked.finding,
    sizeDb: thousandths(size),
    sizeLowDb: thousandths(size - NORMAL_80 * spreadDb(m)),
    sizeHighDb: thousandths(size + NORMAL_80 * spreadDb(m)),
    slopeDbPerDay: slope,
    slopeLowDbPerDay: Math.min(slope / 3, slope * 2),
    slopeHighDbPerDay: Math.max(slope / 3, slope * 2),
  };
  track(state, tracked, changed);
}

function newDrift(
  metric: Metric,
  detectedMs: number,
  fromDb: number,
  onset: Pick<Finding, 'onsetMs' | 'onsetLowMs' | 'onsetHighMs'>,
): Tracked {
  const finding: Finding = {
    kind: 'drift',
    metric,
    detectedMs,
    onsetMs: onset.onsetMs,
    onsetLowMs: onset.onsetLowMs,
    onsetHighMs: onset.onsetHighMs,
    ...UNMEASURED,
    evidence: {},
  };
  return { finding, fromDb, peakDb: 0, movingDbPerDay: 0, settlingUntilMs: 0, ledBy: null };
}

/** With the days since, onset and starting level are better known than when the drift was found. */
function date(tracked: Tracked, series: Series): void {
  const last = series.day[series.day.length - 1] ?? 0;
  if (series.day.length < FEWEST_DAYS_TO_DATE) return;
  if (last * DAY_MS - tracked.finding.detectedMs > REFINING_MS) return;
  const bend = hinge(series.day, series.value);
  if (bend === null || Math.sign(bend.slope) !== Math.sign(tracked.peakDb)) return;
  if (middayOf(bend.at) > tracked.finding.detectedMs) return;
  tracked.fromDb = bend.before;
  tracked.finding = {
    ...tracked.finding,
    onsetMs: middayOf(bend.at),
    onsetLowMs: middayOf(bend.low) - DAY_MS / 2,
    onsetHighMs: middayOf(bend.high) + DAY_MS / 2,
  };
}

function update(
  state: TrendState,
  tracked: Tracked,
  metric: Metric,
  series: Series,
  reference: Reference,
  changed: Set<Tracked>,
): void {
  if (tracked.peakDb !== 0) date(tracked, series);
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
