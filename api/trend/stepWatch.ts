import { median } from '../../ingest/signal/median.ts';
import { type MetricState, thousandths } from './state.ts';
import { cusumThreshold } from './statistics/cusumThreshold.ts';
import { DAY_MS } from './types.ts';

/** A step that isn't there is called once in so many years of one metric at one point, on normal noise. */
const YEARS_BETWEEN_FALSE_STEPS = 10;
/** No meter repeats better than this, dB. */
const SMALLEST_NOISE_DB = 0.03;
/** A sweep counts for this share of the threshold at most, so that one wild sweep can't signal and two can. */
const SHARE_OF_ONE_SWEEP = 0.6;
const SUSPECT_SHARE = 0.4;
const SMALLEST_THRESHOLD = 1;
const RECENT = 12;
/** Of the last sweeps before a step, less than this share of it is seen. */
const LEADING = 5;
const LED_SHARE = 0.4;
const PRIOR_SWEEPS = 20;
const LEARNING_SWEEPS = 1500;
const PRIOR_CORRELATION = 0.5;
const HIGHEST_CORRELATION = 0.9;
/** The tracked level follows over this time, or this many sweeps when they are rare. */
const TRACKING_MS = 1.5 * DAY_MS;
const TRACKING_SWEEPS = 8;
/** Clip for what a sweep may teach, and what a variance clipped there must be divided by on normal noise. */
const CLIP = 2.5;
const CLIPPED_VARIANCE = 0.9776;

/** A change that two sweeps agree on. */
export interface Step {
  readonly onsetMs: number;
  readonly onsetLowMs: number;
  readonly onsetHighMs: number;
  readonly beforeDb: number;
  readonly afterDb: number;
  /** The sweeps before the onset don't lead up to it. */
  readonly abrupt: boolean;
}

/** Lag-one correlation at the usual gap, shrunk to 0.5 while little is known. */
export function correlation(m: MetricState): number {
  const known = m.squares > 0 ? m.products / m.squares : 0;
  const sweeps = Math.min(m.count, 300);
  const shrunk = (sweeps * known + PRIOR_CORRELATION * PRIOR_SWEEPS) / (sweeps + PRIOR_SWEEPS);
  return Math.min(HIGHEST_CORRELATION, Math.max(0, shrunk));
}

/** Standard deviation of single sweeps about the tracked level, dB. */
export function spreadDb(m: MetricState): number {
  return Math.max(SMALLEST_NOISE_DB, Math.sqrt(m.variance / (1 - correlation(m) ** 2)));
}

/**
 * Takes one corrected deviation in. Successive sweeps are correlated, so each is first rid of what the sweep before foretold
 * (correlation^(gap/usual gap)); two one-sided sums of the rest, less an allowance of half of `smallestStepDb`, then
 * watch for a step up or down. The threshold comes from the run length without a step. While a sum is high
 * nothing is learnt. Changes `m`.
 *
 * @param gapMs since the sweep before; `usualGapMs` of this point
 * @param slopeDbPerDay of a drift already found, so that the tracked level goes along
 */
export function watchStep(
  m: MetricState,
  atMs: number,
  deviationDb: number,
  gapMs: number,
  usualGapMs: number,
  smallestStepDb: number,
  slopeDbPerDay: number,
): Step | null {
  m.level += (slopeDbPerDay * gapMs) / DAY_MS;
  const priorMs = m.recent[m.recent.length - 1]?.[0] ?? atMs;
  m.recent.push([atMs, thousandths(deviationDb)]);
  if (m.recent.length > RECENT) m.recent.shift();

  const gaps = Math.min(50, Math.max(0.02, gapMs / usualGapMs));
  const rho = correlation(m);
  const memory = rho ** gaps;
  const noise = Math.max(SMALLEST_NOISE_DB, Math.sqrt(m.variance));
  const widening = (1 - memory * memory) / (1 - rho * rho);
  const noiseNow = Math.max(SMALLEST_NOISE_DB, noise * Math.sqrt(widening));
  const spread = spreadDb(m);

  const distance = deviationDb - m.level;
  const news = distance - memory * m.last;
  const allowance = Math.max(0.5, (0.5 * smallestStepDb * (1 - memory)) / noiseNow);
  const usualAllowance = Math.max(0.5, (0.5 * smallestStepDb * (1 - rho)) / noise);
  const runLength = (YEARS_BETWEEN_FALSE_STEPS * 365 * DAY_MS) / usualGapMs;
  const threshold =
    Math.max(SMALLEST_THRESHOLD, cusumThreshold(usualAllowance, runLength)) * (1 + 8 / (8 + m.count));
  const most = allowance + SHARE_OF_ONE_SWEEP * threshold;
  const z = Math.min(most, Math.max(-most, news / noiseNow));

  addUp(m, z - allowance, atMs, priorMs);
  addDown(m, -z - allowance, atMs, priorMs);
  m.last = clip(distance, 4 * spread);

  if (m.up > threshold || m.down > threshold) {
    const step = confirm(m, atMs, usualGapMs, smallestStepDb, spread, rho);
    if (step) return step;
    m.up = Math.min(m.up, 1.5 * threshold);
    m.down = Math.min(m.down, 1.5 * threshold);
  }
  if (m.up > SUSPECT_SHARE * threshold || m.down > SUSPECT_SHARE * threshold) {
    m.suspectSinceMs ??= atMs;
    if (atMs - m.suspectSinceMs > Math.max(2 * DAY_MS, 24 * usualGapMs)) giveUp(m);
    return null;
  }
  m.suspectSinceMs = null;
  learn(m, distance, news, gaps, widening, spread, gapMs, usualGapMs);
  return null;
}

/** Starts afresh from `levelDb`, known from `weight` sweeps. */
export function restartAt(m: MetricState, levelDb: number, weight: number): void {
  m.level = levelDb;
  m.weight = weight;
  m.last = 0;
  m.up = 0;
  m.down = 0;
  m.suspectSinceMs = null;
}

function addUp(m: MetricState, excess: number, atMs: number, priorMs: number): void {
  if (m.up === 0) {
    m.upFromMs = atMs;
    m.upPriorMs = priorMs;
  }
  m.up = Math.max(0, m.up + excess);
}

function addDown(m: MetricState, excess: number, atMs: number, priorMs: number): void {
  if (m.down === 0) {
    m.downFromMs = atMs;
    m.downPriorMs = priorMs;
  }
  m.down = Math.max(0, m.down + excess);
}

function confirm(
  m: MetricState,
  atMs: number,
  usualGapMs: number,
  smallestStepDb: number,
  spread: number,
  rho: number,
): Step | null {
  const isUp = m.up >= m.down;
  const sign = isUp ? 1 : -1;
  const fromMs = isUp ? m.upFromMs : m.downFromMs;
  const since = m.recent.filter(([at]) => at >= fromMs).map(([, value]) => value - m.level);
  if (since.length < 2) return null;

  const [before, latest] = [since[since.length - 2]! * sign, since[since.length - 1]! * sign];
  const first = onsetWithin(since, sign, smallestStepDb);
  const size = Math.abs(median(since.slice(Math.min(first, since.length - 2)))!);
  const agree = Math.abs(before - latest) <= Math.max(4 * spread, 0.5 * size);
  if (!agree || Math.min(before, latest) < 0.4 * smallestStepDb || size < 0.75 * smallestStepDb) return null;

  const times = m.recent.map(([at]) => at);
  const onsetIndex = times.length - since.length + first;
  const onsetMs = times[onsetIndex]!;
  const priorMs = times[onsetIndex - 1] ?? (isUp ? m.upPriorMs : m.downPriorMs);
  // A change of a few noises is dated to the sweep; a smaller one to about (noise/size)² sweeps.
  const slack = 2 * (spread / size) ** 2 * ((1 + rho) / (1 - rho)) * usualGapMs;
  const atOnset = m.recent.slice(Math.max(0, onsetIndex - LEADING), onsetIndex);
  const led = median(atOnset.map(([, value]) => value - m.level));
  return {
    onsetMs,
    onsetLowMs: Math.round(Math.min(priorMs, onsetMs) - slack),
    onsetHighMs: Math.round(Math.min(atMs, onsetMs + slack)),
    beforeDb: m.level,
    afterDb: m.level + sign * size,
    abrupt: led === null ? m.recent.length < RECENT : led * sign < LED_SHARE * size,
  };
}

/** Likeliest first sweep after the step: from there on the sum of what speaks for it is greatest. */
function onsetWithin(distances: readonly number[], sign: number, smallestStepDb: number): number {
  let best = distances.length - 1;
  let sum = 0;
  let greatest = Number.NEGATIVE_INFINITY;
  const half = Math.max(smallestStepDb, Math.abs(median(distances.slice(-3))!)) / 2;
  for (let i = distances.length - 1; i >= 0; i--) {
    sum += distances[i]! * sign - half;
    if (sum >= greatest) {
      greatest = sum;
      best = i;
    }
  }
  return best;
}

function giveUp(m: MetricState): void {
  restartAt(m, median(m.recent.map(([, value]) => value))!, TRACKING_SWEEPS);
}

function learn(
  m: MetricState,
  distance: number,
  news: number,
  gaps: number,
  widening: number,
  spread: number,
  gapMs: number,
  usualGapMs: number,
): void {
  const share = Math.max(1 / (m.count + PRIOR_SWEEPS), 1 / LEARNING_SWEEPS);
  const square = Math.min(
    (news * news) / widening,
    CLIP * CLIP * Math.max(m.variance, SMALLEST_NOISE_DB ** 2),
  );
  m.variance += share * (square / CLIPPED_VARIANCE - m.variance);
  const clipped = clip(distance, CLIP * spread);
  const before = m.recent[m.recent.length - 2];
  if (before && gaps > 0.5 && gaps < 1.5) {
    const previous = clip(before[1] - m.level, CLIP * spread);
    m.products += share * (clipped * previous - m.products);
    m.squares += share * (previous * previous - m.squares);
  }
  m.count++;
  m.weight++;
  const follow = 1 - Math.exp(-gapMs / Math.max(TRACKING_MS, TRACKING_SWEEPS * usualGapMs));
  m.level += Math.max(follow, 1 / m.weight) * clipped;
}

function clip(value: number, limit: number): number {
  return Math.min(limit, Math.max(-limit, value));
}
