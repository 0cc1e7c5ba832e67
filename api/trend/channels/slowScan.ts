import { meanDaysAfter } from '../afterOnset.ts';
import { DAY_MS } from '../types.ts';
import type { Band } from './band.ts';
import type { Block, ChannelTrend } from './channelTrend.ts';
import { blockDeviation, explainedDb } from './deviations.ts';
import { squaresBeside } from './fitShape.ts';
import { blockSoFar } from './history.ts';
import { scanRipple } from './rippleScan.ts';
import { takeOut } from './smoothBasis.ts';
import { type Candidate, levelBank, scanBank } from './templateBank.ts';
import { LEFTOVER_DB, MISFIT_SHARE, RIPPLE_CHI_SQUARE, SLOW_DEVIATES } from './tuning.ts';

const FEWEST_SWEEPS = 4;

/** Blocks weighted as a change would have gone that began before the oldest of them. */
export interface Window {
  /** Weighted sum of the deviations, dB times sweeps. */
  readonly values: Float64Array;
  /** Of one channel of `values`. */
  readonly variance: number;
  /** Multiplies an amplitude found in `values` to give that of now. */
  readonly scale: number;
}

/** What stands out most: `excess` is its χ² over the threshold, below 0 where nothing is found. */
export interface Found {
  readonly candidate: Candidate;
  readonly window: Window;
  readonly chiSquare: number;
  readonly excess: number;
}

/**
 * Generalised likelihood ratio over place, width and onset: for steps and ramps that began at the start of each block kept, what shape
 * explains most of all that was read since. Ripple is looked for in every other window: one half as long again tells it nearly as well.
 * Null without data.
 */
export function slowScan(trend: ChannelTrend, band: Band): Found | null {
  const blocks = newestFirst(trend);
  const deviations = blocks.map((block) => blockDeviation(trend, band, block, trend.conclusions));
  let best: Found | null = null;
  for (let count = 1; count <= blocks.length; count++) {
    const since = blocks.slice(0, count);
    const stepShares = since.map(() => 1);
    best = better(best, scanWindow(trend, band, since, deviations, stepShares, count % 2 === 1));
    if (count > 1) best = better(best, scanWindow(trend, band, since, deviations, rampShares(since), false));
  }
  return best;
}

/** The block being filled and those kept, newest first. */
export function newestFirst(trend: ChannelTrend): Block[] {
  const partial = blockSoFar(trend);
  return partial === null || partial.sweeps < FEWEST_SWEEPS ? trend.history : [partial, ...trend.history];
}

/** Sums blocks with weights: `shares` is how large the change was in each, next to now. */
export function weighBlocks(
  trend: ChannelTrend,
  deviations: readonly Float64Array[],
  sweeps: readonly number[],
  shares: readonly number[],
): Window | null {
  const { noiseDb, normalSweeps } = trend.level;
  const values = new Float64Array(trend.level.meanCdb.length);
  let [sum, squares] = [0, 0];
  for (let j = 0; j < shares.length; j++) {
    const weight = sweeps[j]! * shares[j]!;
    sum += weight;
    squares += weight * shares[j]!;
    const deviation = deviations[j]!;
    for (let k = 0; k < values.length; k++) values[k] = values[k]! + weight * deviation[k]!;
  }
  if (squares === 0) return null;
  const variance =
    noiseDb ** 2 * (trend.blockInflation * squares + sum ** 2 / normalSweeps) + (LEFTOVER_DB * sum) ** 2;
  return { values, variance, scale: 1 / squares };
}

function rampShares(blocks: readonly Block[]): number[] {
  const onsetMs = blocks[blocks.length - 1]!.fromMs;
  const days = Math.max(1e-3, (blocks[0]!.toMs - onsetMs) / DAY_MS);
  return blocks.map(({ fromMs, toMs }) => meanDaysAfter(onsetMs, fromMs, toMs) / days);
}

function scanWindow(
  trend: ChannelTrend,
  band: Band,
  blocks: readonly Block[],
  deviations: readonly Float64Array[],
  shares: readonly number[],
  withRipple: boolean,
): Found | null {
  const sweeps = blocks.map((block) => block.sweeps);
  const window = weighBlocks(trend, deviations, sweeps, shares);
  if (window === null) return null;
  takeOut(band.basis, window.values);
  const allowance = misfit(trend, band, blocks, shares) / window.variance;
  return scanValues(
    band,
    window,
    SLOW_DEVIATES ** 2 + allowance,
    withRipple ? RIPPLE_CHI_SQUARE + allowance : null,
  );
}

/** Best of notches, groups and ripples in values that the smooth shapes have been taken out of. */
export function scanValues(
  band: Band,
  window: Window,
  threshold: number,
  rippleThreshold: number | null,
): Found | null {
  const local = scanBank(levelBank(band), window.values);
  const ripple = rippleThreshold === null ? null : scanRipple(band, window.values);
  let best: Found | null = null;
  if (local !== null) {
    const chiSquare = local.explained / window.variance;
    best = { candidate: local, window, chiSquare, excess: chiSquare - threshold };
  }
  if (ripple !== null && rippleThreshold !== null) {
    const chiSquare = ripple.explained / window.variance;
    const shape = { kind: 'ripple', delayNs: ripple.delayNs, phaseRad: 0 } as const;
    const candidate = { shape, explained: ripple.explained };
    best = better(best, { candidate, window, chiSquare, excess: chiSquare - rippleThreshold });
  }
  return best;
}

/** What open conclusions may leave because their shapes are not quite right, in squares of a window's values. */
function misfit(
  trend: ChannelTrend,
  band: Band,
  blocks: readonly Block[],
  shares: readonly number[],
): number {
  const sum = new Float64Array(band.names.length);
  let isAny = false;
  blocks.forEach((block, j) => {
    const explained = explainedDb(band, trend.conclusions, 'level', block.fromMs, block.toMs);
    if (explained === null) return;
    isAny = true;
    for (let k = 0; k < sum.length; k++) sum[k] = sum[k]! + block.sweeps * shares[j]! * explained[k]!;
  });
  return isAny ? MISFIT_SHARE * squaresBeside(band, sum) : 0;
}

function better(a: Found | null, b: Found | null): Found | null {
  if (a === null || b === null) return a ?? b;
  return b.excess > a.excess ? b : a;
}
