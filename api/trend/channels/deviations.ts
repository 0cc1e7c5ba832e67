import type { Band } from './band.ts';
import type { Block, ChannelTrend, OpenConclusion, Recent } from './channelTrend.ts';
import { meanAmplitude } from './growth.ts';
import { shapeDb, shapeValues } from './shapeValues.ts';
import { LEFTOVER_DB } from './tuning.ts';

/** Standard deviation of a value rounded to hundredths: 0.01/√12. */
const ROUNDING_DB = 0.0029;

/** How far the recent mean lies from normal, dB by channel, less what conclusions explain. */
export function recentDeviation(recent: Recent, explainedDb: Float64Array | null): Float64Array {
  const { meanCdb, normalMdb } = recent;
  const values = new Float64Array(meanCdb.length);
  for (let k = 0; k < values.length; k++) {
    values[k] = meanCdb[k]! / 100 - normalMdb[k]! / 1000 - (explainedDb === null ? 0 : explainedDb[k]!);
  }
  return values;
}

/** How far a block's mean lies from normal, dB by channel, less what conclusions explain. */
export function blockDeviation(
  trend: ChannelTrend,
  band: Band,
  block: Block,
  explainedBy: readonly OpenConclusion[],
): Float64Array {
  const explained = explainedDb(band, explainedBy, 'level', block.fromMs, block.toMs);
  const { normalMdb } = trend.level;
  const values = new Float64Array(normalMdb.length);
  for (let k = 0; k < values.length; k++) {
    const explainedHere = explained === null ? 0 : explained[k]!;
    values[k] = block.meanCdb[k]! / 100 - normalMdb[k]! / 1000 - explainedHere;
  }
  return values;
}

/** Variance of one channel of a block's mean, dB². */
export function blockVariance(trend: ChannelTrend, sweeps: number): number {
  return (trend.level.noiseDb ** 2 * trend.blockInflation) / sweeps + ROUNDING_DB ** 2;
}

/** Variance of what is normal for one channel, dB²: all blocks share this error. */
export function normalVariance(trend: ChannelTrend): number {
  return trend.level.noiseDb ** 2 / trend.level.normalSweeps + LEFTOVER_DB ** 2;
}

/** What conclusions put on each channel over a stretch of time, dB; null when there are none of that metric. */
export function explainedDb(
  band: Band,
  conclusions: readonly OpenConclusion[],
  metric: 'level' | 'mer',
  fromMs: number,
  toMs: number,
): Float64Array | null {
  let sum: Float64Array | null = null;
  for (const conclusion of conclusions) {
    if (conclusion.metric !== metric) continue;
    const amplitude = meanAmplitude(conclusion, conclusion.sizedMs, fromMs, toMs);
    if (amplitude === 0) continue;
    const values = openShape(band, conclusion);
    sum ??= new Float64Array(values.length);
    for (let k = 0; k < values.length; k++)
      sum[k] = sum[k]! + shapeDb(conclusion.shape.kind, amplitude, values[k]!);
  }
  return sum;
}

const shapes = new WeakMap<OpenConclusion, { band: Band; values: Float64Array }>();

/** Conclusions are replaced and not changed, so the shape of each is worked out once. */
function openShape(band: Band, conclusion: OpenConclusion): Float64Array {
  const known = shapes.get(conclusion);
  if (known?.band === band) return known.values;
  const values = shapeValues(band, conclusion.shape);
  shapes.set(conclusion, { band, values });
  return values;
}
