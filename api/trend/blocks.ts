import { type BlockState, byFeature, type PointTrend, thousandths } from './state.ts';
import { FEATURES, type Features, HOUR_MS } from './types.ts';

/** Slow change is looked for in means over this long. */
export const BLOCK_MS = 6 * HOUR_MS;
export const BLOCKS_A_DAY = 4;
/** Forty-five days. */
const BLOCKS_KEPT = 180;
/** Of the sweeps of a block so much is left out at either end. */
const TRIMMED = 0.1;
const MOST_SWEEPS = 400;

export function blockOf(atMs: number): number {
  return Math.floor(atMs / BLOCK_MS);
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
  if (point.block.ambient.length < MOST_SWEEPS && ambientC !== null) point.block.ambient.push(ambientC);
  for (const feature of FEATURES) {
    const value = features[feature];
    const values = point.block.values[feature];
    if (value !== null && values.length < MOST_SWEEPS) values.push(thousandths(value));
  }
}

/** Ends the block in progress when it lies before `block`: its means join the history. */
export function endBlock(point: PointTrend, block: number): void {
  const ended = point.block;
  if (ended === null || ended.block >= block) return;
  point.block = null;
  const { history } = point;
  const { level } = history.values;
  if (level.length === 0) history.first = ended.block;
  while (history.first + level.length < ended.block)
    push(
      history,
      byFeature(() => null),
      null,
    );
  push(
    history,
    byFeature((feature) => trimmedMean(ended.values[feature])),
    trimmedMean(ended.ambient),
  );
  const surplus = level.length - BLOCKS_KEPT;
  if (surplus > 0) drop(history, surplus);
}

/** What was measured before `atMs` can't be compared with what comes after, and what lies between `sinceMs` and then belongs to neither. */
export function breakHistory(point: PointTrend, sinceMs: number): void {
  const { history } = point;
  const block = blockOf(sinceMs);
  if (point.block !== null) point.block = startBlock(point.block.block);
  for (let i = Math.max(0, block - history.first); i < history.ambient.length; i++) {
    for (const feature of FEATURES) history.values[feature][i] = null;
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
  return { block, values: byFeature(() => []), ambient: [] };
}

function push(history: PointTrend['history'], values: Features<number | null>, ambient: number | null): void {
  for (const feature of FEATURES) history.values[feature].push(values[feature]);
  history.ambient.push(ambient);
}

function drop(history: PointTrend['history'], count: number): void {
  for (const feature of FEATURES) history.values[feature].splice(0, count);
  history.ambient.splice(0, count);
  history.first += count;
  history.breaks = history.breaks.filter((block) => block > history.first);
}

function trimmedMean(values: number[]): number | null {
  if (values.length === 0) return null;
  values.sort((a, b) => a - b);
  const out = Math.floor(values.length * TRIMMED);
  let sum = 0;
  for (let i = out; i < values.length - out; i++) sum += values[i]!;
  return thousandths(sum / (values.length - 2 * out));
}
