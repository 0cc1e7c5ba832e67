import type { Band } from './band.ts';
import type { ChannelTrend, Recent } from './channelTrend.ts';
import { recentDeviation } from './deviations.ts';
import { fitShape, squaresBeside } from './fitShape.ts';
import { placeShape } from './placeShape.ts';
import { newestWeight, recentVariance } from './recent.ts';
import { shapeValues } from './shapeValues.ts';
import { type Found, scanValues } from './slowScan.ts';
import { takeOut } from './smoothBasis.ts';
import { FAST_DEVIATES, MISFIT_SHARE, RIPPLE_CHI_SQUARE } from './tuning.ts';

/** Both the newest sweep and those before it must show so much of what was found. */
const NEWEST_SHARE = 0.5;
const EARLIER_SHARE = 0.3;
const EARLIER_DEVIATES = 2;

/** A step of level in the recent mean that the newest two sweeps both show; null when there is none. */
export function fastScan(
  trend: ChannelTrend,
  band: Band,
  newest: Float64Array,
  explained: Float64Array | null,
): Found | null {
  const values = recentDeviation(trend.level, explained);
  takeOut(band.basis, values);
  const window = { values, variance: recentVariance(trend.level), scale: 1 };
  const allowance =
    explained === null ? 0 : (MISFIT_SHARE * squaresBeside(band, explained)) / window.variance;
  const found = scanValues(band, window, FAST_DEVIATES ** 2 + allowance, RIPPLE_CHI_SQUARE + allowance);
  if (found === null || found.excess < 0) return null;
  const { shape } = placeShape(band, found.candidate.shape, values, window.variance);
  const isShown = isShownTwice(trend.level, values, newest, (v) =>
    fitShape(band, shapeValues(band, shape), v),
  );
  return isShown ? found : null;
}

/** Whether a change found in the recent mean stands in the newest sweep as well as in those before it. */
export function isShownTwice(
  recent: Recent,
  mean: Float64Array,
  newest: Float64Array,
  fit: (values: Float64Array) => { amplitude: number; energy: number },
): boolean {
  const gain = newestWeight(recent.sweeps);
  if (gain >= 1) return false;
  const { amplitude, energy } = fit(mean);
  const sign = Math.sign(amplitude);
  const now = sign * fit(newest).amplitude;
  const earlier = (sign * amplitude - gain * now) / (1 - gain);
  const errorDb = Math.sqrt(recentVariance(recent) / energy);
  return (
    now >= NEWEST_SHARE * Math.abs(amplitude) &&
    earlier >= EARLIER_SHARE * Math.abs(amplitude) &&
    earlier >= EARLIER_DEVIATES * errorDb
  );
}

/** The newest sweep's deviation from normal, dB by channel, less what conclusions explain; 0 where nothing was measured. */
export function newestDeviation(
  recent: Recent,
  band: Band,
  restDb: readonly (number | null)[],
  explained: Float64Array | null,
): Float64Array {
  const values = new Float64Array(band.carrier.length);
  for (let k = 0; k < values.length; k++) {
    const rest = restDb[band.carrier[k]!] ?? recent.meanCdb[k]! / 100;
    values[k] = rest - recent.normalMdb[k]! / 1000 - (explained === null ? 0 : explained[k]!);
  }
  return values;
}
