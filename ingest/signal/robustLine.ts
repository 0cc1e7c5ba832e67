import { blockSlopes } from './blockSlopes.ts';
import { groupedLine } from './groupedLine.ts';
import { createLinePoints, type LinePoints, MOST_GROUPS } from './linePoints.ts';
import { MAD_TO_SD } from './medianAbsoluteDeviation.ts';
import { medianInPlace } from './medianInPlace.ts';

/** Tukey's bisquare: 95 % as efficient as least squares on normal noise (textbook figure, recomputed by integration). */
const BISQUARE = 4.685;
/** Readings come in tenths of a dB at best: no noise is taken to be smaller than this. */
const SMALLEST_NOISE_DB = 0.05;
const PASSES = 2;
const STEPS_PER_PASS = 8;
const CLOSE_ENOUGH_DB = 5e-3;
const SMALLEST_COUNT = 3;

export interface RobustLineOptions {
  /**
   * What each carrier is, parallel to `freqMhz`: its modulation, say. Groups may lie at different levels; they share the
   * tilt, and the distance between them is found and taken out.
   */
  readonly group?: readonly (string | number)[];
  /** The group that the level speaks of. Without it, the one with most carriers; the first named when equal. */
  readonly referenceGroup?: string | number;
  /** Ends of the band that level and tilt speak of, MHz. Without them, the first and last carrier given. */
  readonly lowMhz?: number;
  readonly highMhz?: number;
}

export interface LineFit {
  /** On the line at mid band, `(lowMhz + highMhz) / 2`, for the reference group. */
  readonly levelDbmv: number;
  /** On the line at `highMhz` less on the line at `lowMhz`: positive when level rises with frequency. */
  readonly tiltDb: number;
  readonly lowMhz: number;
  readonly highMhz: number;
  /** Value less the line of its own group, parallel to `freqMhz`; null where nothing was measured. */
  readonly residualDb: (number | null)[];
  /** How far each group measured lies above the reference group, dB. */
  readonly groupOffsetDb: ReadonlyMap<string | number, number>;
}

/**
 * Level and tilt of a sweep: the straight line that most carriers lie on. A lost channel, a notch or a planned
 * difference between analogue and digital carriers doesn't bend it.
 *
 * Method: the better of two starts from medians over blocks (`blockSlopes`), offsets by medians, then least squares
 * reweighted with Tukey's bisquare about a scale from the median absolute residual. Breakdown, where "wrong" is by ten
 * times the noise and more: a fifth of the carriers however they are placed, a quarter at random; a whole stretch of a
 * quarter of the band when it is 12 dB down. Carriers wrong by much less count for little; by a few times the noise, they
 * pull. A group of one carrier says nothing about the line and has residual 0.
 *
 * The band is that of the carriers *given*, measured or not; give `lowMhz` and `highMhz` from the plan so that
 * a carrier that is absent from one sweep doesn't change what tilt means.
 *
 * @param freqMhz rising
 * @param valueDb level in dBmV, or a deviation in dB; null is "not measured"
 * @returns null when fewer than three values, or no two frequencies within one group, were measured
 * @throws RangeError when arrays differ in length, frequencies don't rise, or a value isn't finite
 */
export function robustLine(
  freqMhz: readonly number[],
  valueDb: readonly (number | null)[],
  options: RobustLineOptions = {},
): LineFit | null {
  const names = groupNames(freqMhz.length, options);
  const points = gather(freqMhz, valueDb, names, options.group);
  if (points.count < SMALLEST_COUNT) return null;

  const starts = blockSlopes(points);
  if (starts === null) return null;
  const slope = reweight(points, closest(points, starts));

  const lowMhz = options.lowMhz ?? freqMhz[0]!;
  const highMhz = options.highMhz ?? freqMhz[freqMhz.length - 1]!;
  const reference = points.offset[referenceIndex(points, names, options)]!;
  return {
    levelDbmv: reference + (slope * (lowMhz + highMhz)) / 2,
    tiltDb: slope * (highMhz - lowMhz),
    lowMhz,
    highMhz,
    residualDb: residuals(points, valueDb, slope),
    groupOffsetDb: groupOffsets(points, names, reference),
  };
}

/** Borrowed for the length of one call; nothing in here waits, so two calls never meet. */
let shared = createLinePoints(256);

function groupNames(length: number, { group }: RobustLineOptions): (string | number)[] {
  if (group === undefined) return ['all'];
  if (group.length !== length) {
    throw new RangeError(`group has ${group.length} entries for ${length} carriers; give one for each`);
  }
  const names = [...new Set(group)];
  if (names.length > MOST_GROUPS) throw new RangeError(`${names.length} groups; at most ${MOST_GROUPS}`);
  return names;
}

function gather(
  freqMhz: readonly number[],
  valueDb: readonly (number | null)[],
  names: readonly (string | number)[],
  group: readonly (string | number)[] | undefined,
): LinePoints {
  if (freqMhz.length !== valueDb.length) {
    throw new RangeError(`${freqMhz.length} frequencies but ${valueDb.length} values; give one for each`);
  }
  if (shared.x.length < freqMhz.length) shared = createLinePoints(2 * freqMhz.length);
  const points = shared;
  points.groups = names.length;
  points.count = 0;
  let previous = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < freqMhz.length; i++) {
    const mhz = freqMhz[i]!;
    if (!(mhz > previous)) throw new RangeError(`frequencies must rise: ${mhz} MHz follows ${previous} MHz`);
    previous = mhz;
    const value = valueDb[i]!;
    if (value === null) continue;
    if (!Number.isFinite(value)) throw new RangeError(`value ${i} is ${value}; use null for "not measured"`);
    points.x[points.count] = mhz;
    points.y[points.count] = value;
    points.group[points.count++] = group === undefined ? 0 : names.indexOf(group[i]!);
  }
  return points;
}

/** The slope about which the residuals are smallest by their median. */
function closest(points: LinePoints, slopes: readonly [number, number]): number {
  const [first, second] = slopes;
  medianOffsets(points, first);
  const firstDb = medianResidualDb(points, first);
  medianOffsets(points, second);
  return medianResidualDb(points, second) < firstDb ? second : first;
}

/** From a rough slope to the final one; leaves the offsets in `points`. */
function reweight(points: LinePoints, start: number): number {
  const { count, x, y, group, weight, offset } = points;
  const spanMhz = x[count - 1]! - x[0]!;
  let slope = start;
  medianOffsets(points, slope);

  for (let pass = 0; pass < PASSES; pass++) {
    const reach = BISQUARE * Math.max(SMALLEST_NOISE_DB, MAD_TO_SD * medianResidualDb(points, slope));

    for (let step = 0; step < STEPS_PER_PASS; step++) {
      for (let i = 0; i < count; i++) {
        const u = (y[i]! - offset[group[i]!]! - slope * x[i]!) / reach;
        const inside = 1 - u * u;
        weight[i] = inside > 0 ? inside * inside : 0;
      }
      const next = groupedLine(points);
      if (next === null) return slope;
      const movedDb = Math.abs(next - slope) * spanMhz;
      slope = next;
      if (movedDb < CLOSE_ENOUGH_DB) break;
    }
  }
  return slope;
}

function medianResidualDb({ count, x, y, group, offset, room }: LinePoints, slope: number): number {
  const [distance] = room;
  for (let i = 0; i < count; i++) distance[i] = Math.abs(y[i]! - offset[group[i]!]! - slope * x[i]!);
  return medianInPlace(distance, count);
}

function medianOffsets({ count, groups, x, y, group, offset, room }: LinePoints, slope: number): void {
  const [remainder] = room;
  for (let g = 0; g < groups; g++) {
    let members = 0;
    for (let i = 0; i < count; i++) if (group[i] === g) remainder[members++] = y[i]! - slope * x[i]!;
    offset[g] = medianInPlace(remainder, members);
  }
}

function residuals(
  { x, y, group, offset }: LinePoints,
  valueDb: readonly (number | null)[],
  slope: number,
): (number | null)[] {
  let point = 0;
  return valueDb.map((value) => {
    if (value === null) return null;
    const residual = y[point]! - offset[group[point]!]! - slope * x[point]!;
    point++;
    return residual;
  });
}

function groupOffsets(
  { offset }: LinePoints,
  names: readonly (string | number)[],
  reference: number,
): Map<string | number, number> {
  const offsets = new Map<string | number, number>();
  names.forEach((name, g) => {
    if (!Number.isNaN(offset[g]!)) offsets.set(name, offset[g]! - reference);
  });
  return offsets;
}

/** Counted over the carriers given, measured or not, so that a lost carrier doesn't change what level means. */
function referenceIndex(
  { offset }: LinePoints,
  names: readonly (string | number)[],
  { group, referenceGroup }: RobustLineOptions,
): number {
  const wanted = referenceGroup === undefined ? -1 : names.indexOf(referenceGroup);
  if (wanted >= 0 && !Number.isNaN(offset[wanted]!)) return wanted;
  if (group === undefined) return 0;

  const counts = names.map(() => 0);
  for (const name of group) counts[names.indexOf(name)]!++;
  let largest = -1;
  for (let g = 0; g < names.length; g++) {
    if (!Number.isNaN(offset[g]!) && (largest < 0 || counts[g]! > counts[largest]!)) largest = g;
  }
  return largest;
}
