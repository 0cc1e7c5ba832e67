import { medianInPlace } from '../../ingest/signal/medianInPlace.ts';
import { robustLine } from '../../ingest/signal/robustLine.ts';
import { coefficients, type LevelFeatures } from './bandBasis.ts';
import type { Frame } from './frame.ts';

/** Readings come in tenths of a dB at best: no scatter is taken to be smaller than this. */
const SMALLEST_SCATTER_DB = 0.05;
const MAD_TO_SD = 1.4826;
/** A carrier pulls as if it lay at most so many scatters off the fit. */
const CLIP = 3;
/** What the curves may first explain of one carrier, dB. */
const FIRST_CLIP_DB = 12;
const PASSES = 4;
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
 * 7.8), begun from the robust line, so that a lost channel or a notch stays in the rest.
 *
 * @param changeDb against the baseline, parallel to the frame's carriers
 * @returns null when fewer than three carriers can be compared
 */
export function bandFit(changeDb: readonly (number | null)[], frame: Frame): BandFit | null {
  const { basis, freqMhz, lowMhz, highMhz } = frame;
  const start = robustLine(freqMhz, changeDb, { lowMhz, highMhz });
  if (start === null) return null;
  const count = changeDb.length;
  const rest = new Float64Array(count);
  const clipped = new Float64Array(count);
  const fit: [number, number, number, number] = [
    start.levelDbmv - start.tiltDb * basis.toMiddle,
    start.tiltDb,
    0,
    0,
  ];

  leave(changeDb, fit, frame, rest);
  clip(rest, clipped, FIRST_CLIP_DB);
  const [, , bow, lowEnd] = coefficients(basis, clipped);
  fit[2] = bow;
  fit[3] = lowEnd;
  for (let pass = 0; pass < PASSES; pass++) {
    leave(changeDb, fit, frame, rest);
    clip(rest, clipped, CLIP * scatter(changeDb, rest));
    const moved = coefficients(basis, clipped);
    for (let k = 0; k < 4; k++) fit[k]! += moved[k]!;
  }
  leave(changeDb, fit, frame, rest);
  const [constant, tilt] = fit;
  return {
    features: { level: constant + tilt * basis.toMiddle, tilt, bow: fit[2], lowEnd: fit[3] },
    restDb: changeDb.map((change, i) => (change === null ? null : rest[i]!)),
    scatterDb: scatter(changeDb, rest),
  };
}

/** A carrier without a reading leaves 0, as if it lay on the fit. */
function leave(
  changeDb: readonly (number | null)[],
  [a, b, c, d]: readonly number[],
  { basis }: Frame,
  rest: Float64Array,
): void {
  const { line, bow, lowEnd } = basis;
  for (let i = 0; i < rest.length; i++) {
    const change = changeDb[i]!;
    rest[i] = change === null ? 0 : change - a! - b! * line[i]! - c! * bow[i]! - d! * lowEnd[i]!;
  }
}

function clip(values: Float64Array, clipped: Float64Array, most: number): void {
  for (let i = 0; i < values.length; i++) clipped[i] = Math.max(-most, Math.min(most, values[i]!));
}

/** Borrowed for the length of one call; nothing in here waits, so two calls never meet. */
let distances = new Float64Array(256);

function scatter(changeDb: readonly (number | null)[], rest: Float64Array): number {
  if (distances.length < rest.length) distances = new Float64Array(2 * rest.length);
  let count = 0;
  for (let i = 0; i < rest.length; i++) if (changeDb[i] !== null) distances[count++] = Math.abs(rest[i]!);
  if (count < FEWEST) return SMALLEST_SCATTER_DB;
  return Math.max(SMALLEST_SCATTER_DB, MAD_TO_SD * medianInPlace(distances, count));
}
