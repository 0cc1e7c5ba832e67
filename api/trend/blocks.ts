import type { BlockState, History, PointTrend } from './state.ts';
import { BLOCK_MS, byFeature, FEATURES, type Feature, type Features } from './types.ts';

/** Forty-five days. */
const BLOCKS_KEPT = 180;
/** Of the sweeps of a block so much is left out at either end. */
const TRIMMED = 0.1;
const MOST_SWEEPS = 400;

export function blockOf(atMs: number): number {
  return Math.floor(atMs / BLOCK_MS);
}

/** Mean of a feature over a block, dB; null where it wasn't measured or is not remembered. */
export function blockMeanDb({ first, meanCdb }: History, feature: Feature, block: number): number | null {
  const mean = meanCdb[feature][block - first] ?? null;
  return mean === null ? null : mean / 100;
}

/** Mean air temperature over a block, °C; null where unknown. */
export function blockAmbientC({ first, ambient }: History, block: number): number | null {
  const mean = ambient[block - first] ?? null;
  return mean === null ? null : mean / 100;
}

/** Number of the block after the last one remembered. */
export function historyEnd({ first, ambient }: History): number {
  return first + ambient.length;
}

/** Adds a sweep's features, free of the instrument's offset, to the block in progress, ending an older one. */
export function addToBlock(
  point: PointTrend,
  atMs: number,
  features: Features<number | null>,
  ambientC: number | null,
): void {
  const block = blockOf(atMs);
  if (point.block !== null && point.block.block !== block) endBlock(point, block);
  point.block ??= startBlock(block);
  add(point.block.ambient, ambientC);
  for (const feature of FEATURES) add(point.block.cdb[feature], features[feature]);
}

/** Ends the block in progress when it lies before `block`: its means join the history. */
export function endBlock(point: PointTrend, block: number): void {
  const ended = point.block;
  if (ended === null || ended.block >= block) return;
  point.block = null;
  const { history } = point;
  if (history.ambient.length === 0) history.first = ended.block;
  while (historyEnd(history) < ended.block)
    push(
      history,
      byFeature(() => null),
      null,
    );
  push(
    history,
    byFeature((feature) => trimmedMean(ended.cdb[feature])),
    trimmedMean(ended.ambient),
  );
  const surplus = history.ambient.length - BLOCKS_KEPT;
  if (surplus > 0) drop(history, surplus);
}

/** What was measured before `atMs` can't be compared with what comes after, and what lies between `sinceMs` and then belongs to neither. */
export function breakHistory(point: PointTrend, sinceMs: number): void {
  const { history } = point;
  const block = blockOf(sinceMs);
  if (point.block !== null) point.block = startBlock(point.block.block);
  for (let i = Math.max(0, block - history.first); i < history.ambient.length; i++) {
    for (const feature of FEATURES) history.meanCdb[feature][i] = null;
  }
  if (history.breaks[history.breaks.length - 1] !== block) history.breaks.push(block);
}

/** Forgets the blocks before `atMs`: after a repair or a new baseline another normal holds. */
export function forgetHistory(point: PointTrend): void {
  drop(point.history, point.history.ambient.length);
  point.history.breaks.length = 0;
  if (point.block !== null) point.block = startBlock(point.block.block);
}

function startBlock(block: number): BlockState {
  return { block, cdb: byFeature(() => []), ambient: [] };
}

function add(hundredths: number[], value: number | null): void {
  if (value !== null && hundredths.length < MOST_SWEEPS) hundredths.push(Math.round(100 * value) + 0);
}

function push(history: History, meanCdb: Features<number | null>, ambient: number | null): void {
  for (const feature of FEATURES) history.meanCdb[feature].push(meanCdb[feature]);
  history.ambient.push(ambient);
}

function drop(history: History, count: number): void {
  for (const feature of FEATURES) history.meanCdb[feature].splice(0, count);
  history.ambient.splice(0, count);
  history.first += count;
  history.breaks = history.breaks.filter((block) => block > history.first);
}

function trimmedMean(hundredths: number[]): number | null {
  if (hundredths.length === 0) return null;
  hundredths.sort((a, b) => a - b);
  const out = Math.floor(hundredths.length * TRIMMED);
  let sum = 0;
  for (let i = out; i < hundredths.length - out; i++) sum += hundredths[i]!;
  return Math.round(sum / (hundredths.length - 2 * out)) + 0;
}
