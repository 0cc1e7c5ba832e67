import type { Band } from './band.ts';
import type { Recent } from './channelTrend.ts';
import { LEFTOVER_DB, NEWEST_WEIGHT, RECENT_SWEEPS } from './tuning.ts';

/** A channel this far off is lost or read wrongly; that is judged elsewhere. */
const FARTHEST_DB = 15;
/** Innovations beyond so many deviations say nothing about the noise. */
const NOISE_CLIP = 4;
const NOISE_SWEEPS = 200;
const FIRST_NOISE_SWEEPS = 3;
/** As many values as the smooth shapes take from the scatter are not free to scatter. */
const FEWEST_FOR_NOISE = 7;
const LEAST_NOISE_DB = 0.01;

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
  const { meanCdb, normalMdb } = recent;
  const { carrier } = band;
  const gain = newestWeight(recent.sweeps + 1);
  const before = recentWorth(recent.sweeps);
  const clipCdb = 100 * NOISE_CLIP * recent.noiseDb * Math.sqrt(1 + 1 / before);
  if (recent.sweeps === 0) beginMean(recent, carrier, restDb);
  let [squares, counted, energy, largest] = [0, 0, 0, 0];

  for (let k = 0; k < carrier.length; k++) {
    const rest = restDb[carrier[k]!];
    let mean = meanCdb[k]!;
    if (rest != null && rest < FARTHEST_DB && rest > -FARTHEST_DB) {
      const innovation = 100 * rest - mean;
      if (innovation < clipCdb && innovation > -clipCdb) {
        squares += innovation * innovation;
        counted++;
      }
      mean = toWhole(mean + gain * innovation);
      meanCdb[k] = mean;
    } else {
      // A channel that isn't read any more goes back to what is normal: what was read of it last is no change.
      const expected = expectedDb === null ? 0 : 100 * expectedDb[k]!;
      mean = toWhole(mean + gain * (normalMdb[k]! / 10 + expected - mean));
      meanCdb[k] = mean;
    }
    let off = mean - normalMdb[k]! / 10;
    if (expectedDb !== null) off -= 100 * expectedDb[k]!;
    energy += off * off;
    if (off > largest) largest = off;
    else if (-off > largest) largest = -off;
  }

  if (recent.sweeps > 0 && counted > FEWEST_FOR_NOISE) {
    const variance = squares / (counted - band.basis.length) / 1e4 / (1 + 1 / before);
    const weight = 1 / Math.min(NOISE_SWEEPS, recent.sweeps + FIRST_NOISE_SWEEPS);
    recent.noiseDb = noiseOf(recent.noiseDb ** 2 + weight * (variance - recent.noiseDb ** 2));
  }
  recent.sweeps++;
  const variance = 1e4 * recentVariance(recent);
  return { energy: energy / variance, largest: largest / Math.sqrt(variance) };
}

/** Starts the mean at what the first sweep reads, or at normal where it reads nothing. */
function beginMean(recent: Recent, carrier: readonly number[], restDb: readonly (number | null)[]): void {
  for (let k = 0; k < carrier.length; k++) {
    const rest = restDb[carrier[k]!];
    const isRead = rest != null && Math.abs(rest) < FARTHEST_DB;
    recent.meanCdb[k] = toWhole(isRead ? 100 * rest : recent.normalMdb[k]! / 10);
  }
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

function noiseOf(variance: number): number {
  return Math.round(1e5 * Math.max(LEAST_NOISE_DB, Math.sqrt(variance))) / 1e5;
}

/** To the nearest whole number, as the small integer that arrays hold best. */
export function toWhole(value: number): number {
  return Math.floor(value + 0.5) | 0;
}
