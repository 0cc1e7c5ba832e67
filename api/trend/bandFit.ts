import { MAD_TO_SD } from '../../ingest/signal/medianAbsoluteDeviation.ts';
import { medianInPlace } from '../../ingest/signal/medianInPlace.ts';
import { coefficients, type LevelFeatures } from './bandBasis.ts';
import type { Frame } from './frame.ts';

/** Readings come in tenths of a dB at best: no scatter is taken to be smaller than this. */
const SMALLEST_SCATTER_DB = 0.05;
/** A carrier pulls as if it lay at most so many scatters off the fit. */
const CLIP = 3;
const MOST_PASSES = 8;
const CLOSE_ENOUGH_DB = 1e-3;
const FEWEST = 3;

/** How a sweep differs from its baseline across the band. */
export interface BandFit {
  readonly features: LevelFeatures;
  /** What the four columns leave of each carrier's change, dB; null where it can't be compared. */
  readonly restDb: readonly (number | null)[];
  /** Standard deviation of the rest from carrier to carrier, by the median, dB. */
  readonly scatterDb: number;
}

/**
 * Fits level, tilt, bow and low end to the changes of the carriers: Huber's estimate by modified residuals (Huber 1981, section
 * 7.8), begun from the median, with the scale found anew each time, so that a lost channel or a notch stays in the rest.
 *
 * @param changeDb against the baseline, parallel to the frame's carriers
 * @returns null when fewer than three carriers can be compared
 */
export function bandFit(changeDb: readonly (number | null)[], frame: Frame): BandFit | null {
  const { basis } = frame;
  const count = changeDb.length;
  const rest = new Float64Array(count);
  const middle = middleOf(changeDb);
  if (middle === null) return null;

  const fit: [number, number, number, number] = [middle, 0, 0, 0];
  let scatterDb = leave(changeDb, fit, frame, rest);
  for (let pass = 0; pass < MOST_PASSES; pass++) {
    clip(rest, CLIP * scatterDb);
    const moved = coefficients(basis, rest);
    for (let k = 0; k < 4; k++) fit[k]! += moved[k]!;
    scatterDb = leave(changeDb, fit, frame, rest);
    if (Math.max(...moved.map(Math.abs)) < CLOSE_ENOUGH_DB) break;
  }
  const [constant, tilt] = fit;
  return {
    features: { level: constant + tilt * basis.toMiddle, tilt, bow: fit[2], lowEnd: fit[3] },
    restDb: changeDb.map((change, i) => (change === null ? null : rest[i]!)),
    scatterDb,
  };
}

/** Borrowed for the length of one call; nothing in here waits, so two calls never meet. */
let room = new Float64Array(256);

function middleOf(changeDb: readonly (number | null)[]): number | null {
  if (room.length < changeDb.length) room = new Float64Array(2 * changeDb.length);
  let count = 0;
  for (let i = 0; i < changeDb.length; i++) if (changeDb[i] !== null) room[count++] = changeDb[i]!;
  return count < FEWEST ? null : medianInPlace(room, count);
}

/** Writes what the fit leaves of each carrier into `rest`, 0 where there is no reading, and answers how it scatters, dB. */
function leave(
  changeDb: readonly (number | null)[],
  [a, b, c, d]: readonly [number, number, number, number],
  { basis }: Frame,
  rest: Float64Array,
): number {
  const { line, bow, lowEnd } = basis;
  let count = 0;
  for (let i = 0; i < rest.length; i++) {
    const change = changeDb[i]!;
    if (change === null) continue;
    const left = change - a - b * line[i]! - c * bow[i]! - d * lowEnd[i]!;
    rest[i] = left;
    room[count++] = Math.abs(left);
  }
  return Math.max(SMALLEST_SCATTER_DB, MAD_TO_SD * medianInPlace(room, count));
}

function clip(values: Float64Array, most: number): void {
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value > most) values[i] = most;
    else if (value < -most) values[i] = -most;
  }
}
