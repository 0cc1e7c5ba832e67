import type { Nuisance } from './nuisance.ts';

/** What is known before the data, worth so many blocks. */
const PRIOR_BLOCKS = 10;
const PRIOR_CORRELATION_BLOCKS = 30;
const HIGHEST_CORRELATION = 0.9;
/** Where neighbours cancel the common wander little is left from block to block; where nothing cancels it, it lasts for days. */
const CORRELATION_ACROSS = 0.1;
const CORRELATION_ALONE = 0.7;
/** No mean of a block is better known than this, dB. */
const SMALLEST_NOISE_DB = 0.012;

/** The noise of a series of block means, as it counts over many blocks. */
export interface BlockNoise {
  /** Standard deviation of one block, inflated by the serial correlation: σ²·(1 + φ)/(1 − φ), dB². */
  readonly longRunVariance: number;
  readonly correlation: number;
  /** Blocks that the estimate rests on, the prior's among them. */
  readonly degrees: number;
}

/**
 * Noise of what is left of a series after the nuisance and the likeliest change. Serial correlation by its lag-one value, as for a
 * first-order autoregression, shrunk to what is usual.
 *
 * @param rest as `withoutNuisance` gives it, the likeliest change taken out
 * @param index block numbers: only neighbouring blocks tell of correlation
 * @param priorVariance of one block mean, from the scatter of single sweeps, dB²
 */
export function blockNoise(
  rest: Float64Array,
  index: readonly number[],
  nuisance: Nuisance,
  priorVariance: number,
  alone: boolean,
): BlockNoise {
  let squares = 0;
  let products = 0;
  let pairs = 0;
  for (let i = 0; i < nuisance.blocks; i++) {
    squares += rest[i]! ** 2;
    if (i === 0 || index[i]! - index[i - 1]! !== 1) continue;
    products += rest[i]! * rest[i - 1]!;
    pairs++;
  }
  const free = Math.max(0, nuisance.blocks - nuisance.columns.length - 2);
  const prior = Math.max(SMALLEST_NOISE_DB ** 2, priorVariance);
  const variance = Math.max(SMALLEST_NOISE_DB ** 2, (squares + PRIOR_BLOCKS * prior) / (free + PRIOR_BLOCKS));
  const usual = alone ? CORRELATION_ALONE : CORRELATION_ACROSS;
  const found = pairs === 0 ? usual : products / pairs / Math.max(squares / nuisance.blocks, 1e-9);
  // The columns taken out pull the estimate down by about (1 + 3φ)/n for each (Marriott and Pope 1954).
  const bias = pairs === 0 ? 0 : (1 + 3 * Math.max(0, found)) / pairs;
  const shrunk =
    (pairs * (found + bias) + PRIOR_CORRELATION_BLOCKS * usual) / (pairs + PRIOR_CORRELATION_BLOCKS);
  const correlation = Math.min(HIGHEST_CORRELATION, Math.max(0, shrunk));
  return {
    longRunVariance: (variance * (1 + correlation)) / (1 - correlation),
    correlation,
    degrees: free + PRIOR_BLOCKS,
  };
}
