import { medianInPlace } from '../../../ingest/signal/medianInPlace.ts';
import type { Band } from './band.ts';
import type { Block, ChannelTrend } from './channelTrend.ts';
import { explainedDb } from './deviations.ts';
import { fileBlock, learnBlock } from './history.ts';
import { takeOut } from './smoothBasis.ts';
import { SUSPICION_MS } from './tuning.ts';

/** Median of the square of a standard normal (χ² with one degree of freedom). */
const MEDIAN_SQUARE = 0.4549;
const INFLATION_WEIGHT = 0.1;
const INFLATION_MOST = 20;
/** Share of the recent mean that the normal of MER takes over at the end of a block. */
const MER_SHARE = 1 / 120;

/**
 * Files the block being filled and learns from what is settled: from each block for the first days, from those that grow too old
 * afterwards, and from none while something is suspected.
 */
export function closeBlock(trend: ChannelTrend, band: Band): void {
  const before = trend.history[0] ?? null;
  const { filed, expired } = fileBlock(trend);
  const isLearning = trend.learnUntilMs !== null && filed.toMs <= trend.learnUntilMs;
  if (trend.suspectedMs !== null && filed.toMs < trend.suspectedMs + SUSPICION_MS) return;
  if (before !== null && before.halfDays === 1) learnInflation(trend, band, filed, before);
  if (isLearning) {
    const explained = explainedDb(band, trend.conclusions, 'level', filed.fromMs, filed.toMs);
    learnBlock(trend.level, filed, explained);
  } else if (trend.conclusions.length === 0) {
    if (expired !== null && expired.fromMs > trend.learnUntilMs!) learnBlock(trend.level, expired, null);
    followMer(trend);
  }
}

/** Takes the recent mean of MER as normal while the baseline is new. */
export function learnMer(trend: ChannelTrend, atMs: number): void {
  if (trend.learnUntilMs === null || atMs > trend.learnUntilMs) return;
  if (trend.conclusions.some(({ metric }) => metric === 'mer')) return;
  const { mer } = trend;
  mer.normalSweeps++;
  const share = 1 / mer.normalSweeps;
  for (let k = 0; k < mer.normalMdb.length; k++) {
    mer.normalMdb[k] = Math.round(mer.normalMdb[k]! + share * (10 * mer.meanCdb[k]! - mer.normalMdb[k]!));
  }
}

function followMer({ mer }: ChannelTrend): void {
  for (let k = 0; k < mer.normalMdb.length; k++) {
    mer.normalMdb[k] = Math.round(mer.normalMdb[k]! + MER_SHARE * (10 * mer.meanCdb[k]! - mer.normalMdb[k]!));
  }
}

/** Blocks that differ more from one another than the noise of their readings allows tell of noise with memory. */
function learnInflation(trend: ChannelTrend, band: Band, newer: Block, older: Block): void {
  const difference = Float64Array.from(newer.meanCdb, (mean, k) => (mean - older.meanCdb[k]!) / 100);
  takeOut(band.basis, difference);
  const white = trend.level.noiseDb ** 2 * (1 / newer.sweeps + 1 / older.sweeps);
  const ratio = medianInPlace(difference.map((value) => value * value)) / MEDIAN_SQUARE / white;
  const next =
    trend.blockInflation + INFLATION_WEIGHT * (Math.min(INFLATION_MOST, ratio) - trend.blockInflation);
  trend.blockInflation = Math.round(1e3 * Math.max(1, next)) / 1e3;
}
