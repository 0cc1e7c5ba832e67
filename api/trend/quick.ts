import { thousandths } from './rounding.ts';
import type { PointTrend, QuickState } from './state.ts';
import { FEATURES, type Feature, type Features, HOUR_MS } from './types.ts';

/** Single sweeps are judged by these; cable and contact shapes need many sweeps to be told from noise. */
export const QUICK_FEATURES = ['level', 'tilt', 'lowEnd', 'mer'] as const;
export type QuickFeature = (typeof QUICK_FEATURES)[number];

/** Smaller changes are no step even where the noise would let them be seen, dB. */
const SMALLEST_STEP_DB: Record<QuickFeature, number> = { level: 0.8, tilt: 1, lowEnd: 1.5, mer: 1.5 };
/** A sweep is suspected when it lies off by this share of it, and by so many of the point's own standard deviations. */
const SHARE = 0.6;
const SIGMAS = 4;
/**
 * The mean of the sweeps that tell a step, over its own standard deviation: on normal noise exceeded once in 83 million (normal tail,
 * Abramowitz and Stegun 26.2), once in 590 years of 15-minute sweeps at one point for four features. A point's noise is known only
 * roughly, so it comes more often; `npm run evaluate` counts.
 */
const TOLD_Z = 5.7;
/** The same mean must reach this share of the smallest step. */
const TOLD_SHARE = 0.75;
/** Still off, once it was. */
const STILL_SHARE = 0.6;
const SMALLEST_NOISE_DB = 0.05;

/** The level follows over so many sweeps, and over four hours at most unless sweeps are rare. */
const TRACKING_SWEEPS = 12;
const TRACKING_MS = 4 * HOUR_MS;
const FEWEST_TRACKING_SWEEPS = 4;
const LEARNING_SWEEPS = 1500;
const PRIOR_SWEEPS = 20;
const CLIP = 3;
/** A variance clipped at three standard deviations is this much too small on normal noise. */
const CLIPPED_VARIANCE = 0.9733;
/** What a baseline foretells of the first sweep, dB. */
const FIRST_NOISE_DB: Features = { level: 0.25, tilt: 0.25, bow: 0.6, lowEnd: 0.4, mer: 0.3 };

export function emptyQuick(feature: Feature): QuickState {
  return {
    level: 0,
    variance: FIRST_NOISE_DB[feature] ** 2,
    products: 0,
    squares: 0,
    last: 0,
    count: 0,
  };
}

/** Standard deviation of single sweeps about the short-term level, dB. */
export function noiseDb(quick: QuickState): number {
  return Math.max(SMALLEST_NOISE_DB, Math.sqrt(quick.variance));
}

/** Lag-one correlation of sweeps, shrunk to one half while little is known. */
export function correlationOf({ products, squares, count }: QuickState): number {
  const known = squares > 0 ? products / squares : 0;
  const sweeps = Math.min(count, 300);
  return Math.min(0.9, Math.max(0, (sweeps * known + 0.5 * PRIOR_SWEEPS) / (sweeps + PRIOR_SWEEPS)));
}

/** How far one sweep must lie off to be suspected, dB. */
export function neededDb(point: PointTrend, feature: QuickFeature): number {
  return Math.max(SHARE * SMALLEST_STEP_DB[feature], SIGMAS * noiseDb(point.quick[feature]));
}

/** A sweep's features less where the point lay; 0 for what wasn't measured. */
export function changeFrom(before: Features, features: Features<number | null>): Features {
  const change = {} as Features;
  for (const feature of FEATURES) {
    const value = features[feature];
    change[feature] = value === null ? 0 : thousandths(value - before[feature]);
  }
  return change;
}

/** Where the point lies by its last sweeps. */
export function levelsOf(point: PointTrend): Features {
  const levels = {} as Features;
  for (const feature of FEATURES) levels[feature] = point.quick[feature].level;
  return levels;
}

/** The feature that stands out most of those that exceed what is needed; null when none does. */
export function standingOut(point: PointTrend, change: Features, share = 1): QuickFeature | null {
  let most: QuickFeature | null = null;
  let excess = share;
  for (const feature of QUICK_FEATURES) {
    const ratio = Math.abs(change[feature]) / neededDb(point, feature);
    if (ratio < excess) continue;
    excess = ratio;
    most = feature;
  }
  return most;
}

/** Takes an ordinary sweep in: the level follows, and the scatter about it is learnt. */
export function learnSweep(point: PointTrend, features: Features<number | null>, gapMs: number): void {
  const sweeps = Math.max(
    FEWEST_TRACKING_SWEEPS,
    Math.min(TRACKING_SWEEPS, TRACKING_MS / Math.max(1, gapMs)),
  );
  for (const feature of FEATURES) {
    const value = features[feature];
    if (value === null) continue;
    const quick = point.quick[feature];
    const reach = CLIP * noiseDb(quick);
    const distance = Math.max(-reach, Math.min(reach, value - quick.level));
    const share = Math.max(1 / (quick.count + PRIOR_SWEEPS), 1 / LEARNING_SWEEPS);
    quick.variance = learnt(quick.variance, distance ** 2 / CLIPPED_VARIANCE, share);
    quick.products = learnt(quick.products, distance * quick.last, share);
    quick.squares = learnt(quick.squares, quick.last ** 2, share);
    quick.last = thousandths(distance);
    quick.count++;
    quick.level = thousandths(
      quick.level + distance / Math.min(sweeps, quick.count + FEWEST_TRACKING_SWEEPS),
    );
  }
}

/** A running mean in dB², kept fine enough for the smallest steps that it learns in, LEARNING_SWEEPS⁻¹ of the smallest variance. */
function learnt(mean: number, value: number, share: number): number {
  return Math.round(1e7 * (mean + share * (value - mean))) / 1e7 + 0;
}

/** Begins anew at these levels; what is known of the noise stays. */
export function anchorAt(point: PointTrend, levels: Features<number | null>): void {
  for (const feature of FEATURES) {
    const quick = point.quick[feature];
    const level = levels[feature];
    if (level !== null) quick.level = level;
    quick.last = 0;
    quick.count = Math.max(FEWEST_TRACKING_SWEEPS, Math.min(quick.count, LEARNING_SWEEPS));
  }
}

/** Whether a suspected point still lies off in the same way. */
export function isStillOff(point: PointTrend, first: Features, change: Features): boolean {
  const feature = standingOut(point, first);
  if (feature === null) return false;
  const off = change[feature] * Math.sign(first[feature]);
  return off >= STILL_SHARE * neededDb(point, feature) && off >= 0.4 * Math.abs(first[feature]);
}

/** Whether sweeps of one or several points, given as changes at each, tell a step of `feature` together. */
export function tellStep(
  seen: readonly { readonly point: PointTrend; readonly changesDb: readonly number[] }[],
  feature: QuickFeature,
): boolean {
  let score = 0;
  let information = 0;
  let sum = 0;
  let count = 0;
  for (const { point, changesDb } of seen) {
    const sweeps = changesDb.length;
    const total = changesDb.reduce((a, b) => a + b, 0);
    const weight = 1 / meanVariance(point.quick[feature], sweeps);
    score += (weight * total) / sweeps;
    information += weight;
    sum += total;
    count += sweeps;
  }
  const z = Math.abs(score) / Math.sqrt(information);
  return count >= 2 && z >= TOLD_Z && Math.abs(sum / count) >= TOLD_SHARE * SMALLEST_STEP_DB[feature];
}

/** Variance of the mean of so many successive sweeps, dB². */
function meanVariance(quick: QuickState, sweeps: number): number {
  const rho = correlationOf(quick);
  let factor = sweeps;
  for (let lag = 1; lag < sweeps; lag++) factor += 2 * (sweeps - lag) * rho ** lag;
  return (noiseDb(quick) ** 2 * factor) / sweeps ** 2;
}

/** Two changes of one feature that tell of the same event, within noise and a third of their size. */
export function agree(aDb: number, bDb: number, noise: number): boolean {
  if (Math.sign(aDb) !== Math.sign(bDb)) return false;
  return Math.abs(aDb - bDb) <= Math.max(4 * noise, 0.35 * Math.max(Math.abs(aDb), Math.abs(bDb)));
}
