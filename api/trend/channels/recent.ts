import type { Band } from './band.ts';
import type { Recent } from './channelTrend.ts';
import { LEFTOVER_DB, NEWEST_WEIGHT, RECENT_SWEEPS } from './tuning.ts';

/** A channel this far off is lost or read wrongly; that is judged elsewhere. */
const FARTHEST_DB = 15;
/** Innovations beyond so many deviations say nothing about the noise. */
const NOISE_CLIP = 4;
const NOISE_SWEEPS = 200;
const FIRST_NOISE_SWEEPS = 3;

/** How far the recent mean lies from normal, in units of its own variance. */
export interface Deviation {
  readonly energy: number;
  readonly largest: number;
}

/** Takes the readings of one sweep into the recent mean and the noise. `expectedDb`: what open conclusions put on each channel. */
export function takeReadings(
  recent: Recent,
  band: Band,
  restDb: readonly (number | null)[],
  expectedDb: Float64Array | null,
): Deviation {
  const { meanMdb, normalMdb } = recent;
  const { carrier } = band;
  const gain = newestWeight(recent.sweeps + 1);
  const before = recentWorth(recent.sweeps);
  const clipMdb = 1000 * NOISE_CLIP * recent.noiseDb * Math.sqrt(1 + 1 / before);
  const isFirst = recent.sweeps === 0;
  let [squares, counted, energy, largest] = [0, 0, 0, 0];

  for (let k = 0; k < carrier.length; k++) {
    const rest = restDb[carrier[k]!];
    if (rest != null && Math.abs(rest) < FARTHEST_DB) {
      const innovation = 1000 * rest - (isFirst ? normalMdb[k]! : meanMdb[k]!);
      if (innovation < clipMdb && innovation > -clipMdb) {
        squares += innovation * innovation;
        counted++;
      }
      meanMdb[k] = Math.round(isFirst ? 1000 * rest : meanMdb[k]! + gain * innovation);
    } else if (isFirst) meanMdb[k] = normalMdb[k]!;
    const off = meanMdb[k]! - normalMdb[k]! - (expectedDb === null ? 0 : 1000 * expectedDb[k]!);
    energy += off * off;
    if (off > largest) largest = off;
    else if (-off > largest) largest = -off;
  }

  if (!isFirst && counted > 4) {
    const variance = squares / counted / 1e6 / (1 + 1 / before);
    const weight = 1 / Math.min(NOISE_SWEEPS, recent.sweeps + FIRST_NOISE_SWEEPS);
    recent.noiseDb = round(Math.sqrt(recent.noiseDb ** 2 + weight * (variance - recent.noiseDb ** 2)));
  }
  recent.sweeps++;
  const variance = 1e6 * recentVariance(recent);
  return { energy: energy / variance, largest: largest / Math.sqrt(variance) };
}

/** Variance of one channel's recent mean less its normal, dB². */
export function recentVariance(recent: Recent): number {
  return recent.noiseDb ** 2 * (1 / recentWorth(recent.sweeps) + 1 / recent.normalSweeps) + LEFTOVER_DB ** 2;
}

/** Weight that the `count`th sweep has in the recent mean. */
export function newestWeight(count: number): number {
  return Math.max(NEWEST_WEIGHT, 1 / count);
}

/** How many sweeps' worth of averaging stands in the recent mean. */
function recentWorth(sweeps: number): number {
  return Math.max(1, Math.min(RECENT_SWEEPS, sweeps));
}

function round(noiseDb: number): number {
  return Math.round(1e5 * Math.max(0.01, noiseDb)) / 1e5;
}
