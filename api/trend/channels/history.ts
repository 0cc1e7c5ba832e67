import type { Block, ChannelTrend, Recent } from './channelTrend.ts';
import { toWhole } from './recent.ts';
import { BLOCK_MS, NORMAL_SWEEPS_MOST } from './tuning.ts';

/** So many blocks of each length are kept, shortest first. */
const KEPT: readonly (readonly [halfDays: number, count: number])[] = [
  [1, 2],
  [2, 2],
  [4, 1],
];
/** Readings farther than this from the recent mean count as this far, in deviations of one reading. */
const CLIP = 5;

/** Adds the readings of a sweep to the block being filled; a channel not measured counts as its recent mean. */
export function addToBlock(
  trend: ChannelTrend,
  atMs: number,
  carrier: readonly number[],
  restDb: readonly (number | null)[],
  gapMs: number,
): void {
  const { meanCdb, noiseDb } = trend.level;
  const clipCdb = 100 * CLIP * noiseDb;
  trend.block ??= {
    fromMs: Math.max(trend.latestMs[1] ?? 0, atMs - 2 * gapMs),
    toMs: atMs,
    sweeps: 0,
    sumCdb: new Array<number>(carrier.length).fill(0),
  };
  const { block } = trend;
  for (let k = 0; k < carrier.length; k++) {
    const rest = restDb[carrier[k]!];
    const mean = meanCdb[k]!;
    let value = rest == null ? mean : 100 * rest;
    if (value > mean + clipCdb) value = mean + clipCdb;
    else if (value < mean - clipCdb) value = mean - clipCdb;
    block.sumCdb[k] = block.sumCdb[k]! + toWhole(value);
  }
  block.toMs = atMs;
  block.sweeps++;
}

/** Whether the block being filled ends before a sweep at `atMs`. */
export function blockHasEnded(trend: ChannelTrend, atMs: number): boolean {
  if (trend.block === null) return false;
  return Math.floor(atMs / BLOCK_MS) > Math.floor(trend.block.toMs / BLOCK_MS);
}

/** Closes the block being filled and files it. Gives what it was and what grew too old to keep. */
export function fileBlock(trend: ChannelTrend): { filed: Block; expired: Block | null } {
  const filed = blockSoFar(trend)!;
  trend.block = null;
  trend.history.unshift(filed);
  let expired: Block | null = null;
  for (const [halfDays, count] of KEPT) {
    const alike = trend.history.filter((block) => block.halfDays === halfDays);
    if (alike.length <= count) break;
    const oldest = alike.slice(-2);
    const place = trend.history.indexOf(oldest[0]!);
    if (halfDays === KEPT[KEPT.length - 1]![0]) expired = trend.history.pop()!;
    else trend.history.splice(place, 2, merged(oldest[0]!, oldest[1]!));
  }
  return { filed, expired };
}

/** The block being filled as if it ended now; null when it is empty. */
export function blockSoFar(trend: ChannelTrend): Block | null {
  const { block } = trend;
  if (block === null || block.sweeps === 0) return null;
  return {
    halfDays: 1,
    fromMs: block.fromMs,
    toMs: block.toMs,
    sweeps: block.sweeps,
    meanCdb: block.sumCdb.map((sum) => Math.round(sum / block.sweeps)),
  };
}

/** Takes a block into what is normal. `expectedDb`: what open conclusions put on each channel meanwhile. */
export function learnBlock(recent: Recent, block: Block, expectedDb: Float64Array | null): void {
  const share = block.sweeps / (recent.normalSweeps + block.sweeps);
  for (let k = 0; k < recent.normalMdb.length; k++) {
    const readMdb = 10 * block.meanCdb[k]! - (expectedDb === null ? 0 : 1000 * expectedDb[k]!);
    recent.normalMdb[k] = Math.round(recent.normalMdb[k]! + share * (readMdb - recent.normalMdb[k]!));
  }
  recent.normalSweeps = Math.min(NORMAL_SWEEPS_MOST, recent.normalSweeps + block.sweeps);
}

function merged(newer: Block, older: Block): Block {
  const sweeps = newer.sweeps + older.sweeps;
  return {
    halfDays: newer.halfDays + older.halfDays,
    fromMs: older.fromMs,
    toMs: newer.toMs,
    sweeps,
    meanCdb: newer.meanCdb.map((value, k) =>
      Math.round((newer.sweeps * value + older.sweeps * older.meanCdb[k]!) / sweeps),
    ),
  };
}
