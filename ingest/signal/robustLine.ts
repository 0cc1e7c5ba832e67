import { blockSlope } from './blockSlope.ts';
import { groupedLine } from './groupedLine.ts';
import { MAD_TO_SD } from './medianAbsoluteDeviation.ts';
import { medianInPlace } from './medianInPlace.ts';

/** Tukey's bisquare: 95 % as efficient as least squares on normal noise (after Huber; recomputed by integration). */
const BISQUARE = 4.685;
/** Readings come in tenths of a dB at best: no noise is taken to be smaller than this. */
const SMALLEST_NOISE_DB = 0.05;
const PASSES = 2;
const STEPS_PER_PASS = 8;
const CLOSE_ENOUGH_DB = 1e-3;
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
  /** How far each group lies above the reference group, dB. */
  readonly groupOffsetDb: ReadonlyMap<string | number, number>;
}

/**
 * Level and tilt of a sweep: the straight line that most carriers lie on. A lost channel, a notch or a planned
 * difference between analogue and digital carriers doesn't bend it.
 *
 * Method: a start by repeated medians over blocks (`blockSlope`), offsets by medians, then least squares reweighted
 * with Tukey's bisquare about a scale from the median absolute residual. Breakdown: any quarter of the carriers, or one
 * stretch of two fifths of the band, may be wrong by any amount. A group of one carrier says nothing about the line and
 * has residual 0.
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
  const points = measuredPoints(freqMhz, valueDb, names, options.group);
  if (points.x.length < SMALLEST_COUNT) return null;

  const start = blockSlope(points.x, points.y, points.group, names.length);
  if (start === null) return null;
  const { slope, offset } = reweight(points, names.length, start);

  const lowMhz = options.lowMhz ?? freqMhz[0]!;
  const highMhz = options.highMhz ?? freqMhz[freqMhz.length - 1]!;
  const reference = offset[referenceIndex(points, offset, names, options)]!;
  const residualDb = new Array<number | null>(freqMhz.length).fill(null);
  for (let p = 0; p < points.x.length; p++) {
    residualDb[points.index[p]!] = points.y[p]! - offset[points.group[p]!]! - slope * points.x[p]!;
  }
  const groupOffsetDb = new Map<string | number, number>();
  for (let g = 0; g < names.length; g++) {
    if (!Number.isNaN(offset[g]!)) groupOffsetDb.set(names[g]!, offset[g]! - reference);
  }
  return {
    levelDbmv: reference + (slope * (lowMhz + highMhz)) / 2,
    tiltDb: slope * (highMhz - lowMhz),
    lowMhz,
    highMhz,
    residualDb,
    groupOffsetDb,
  };
}

interface Points {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly group: Uint8Array;
  readonly index: Uint16Array;
}

function groupNames(length: number, { group }: RobustLineOptions): (string | number)[] {
  if (group === undefined) return ['all'];
  if (group.length !== length) {
    throw new RangeError(`group has ${group.length} entries for ${length} carriers; give one for each`);
  }
  const names = [...new Set(group)];
  if (names.length > 255) throw new RangeError(`${names.length} groups; at most 255`);
  return names;
}

function measuredPoints(
  freqMhz: readonly number[],
  valueDb: readonly (number | null)[],
  names: readonly (string | number)[],
  group: readonly (string | number)[] | undefined,
): Points {
  if (freqMhz.length !== valueDb.length) {
    throw new RangeError(`${freqMhz.length} frequencies but ${valueDb.length} values; give one for each`);
  }
  const x = new Float64Array(freqMhz.length);
  const y = new Float64Array(freqMhz.length);
  const groups = new Uint8Array(freqMhz.length);
  const index = new Uint16Array(freqMhz.length);
  let count = 0;
  let previous = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < freqMhz.length; i++) {
    const mhz = freqMhz[i]!;
    if (!(mhz > previous)) throw new RangeError(`frequencies must rise: ${mhz} MHz follows ${previous} MHz`);
    previous = mhz;
    const value = valueDb[i]!;
    if (value === null) continue;
    if (!Number.isFinite(value)) throw new RangeError(`value ${i} is ${value}; use null for "not measured"`);
    x[count] = mhz;
    y[count] = value;
    groups[count] = group === undefined ? 0 : names.indexOf(group[i]!);
    index[count++] = i;
  }
  return {
    x: x.subarray(0, count),
    y: y.subarray(0, count),
    group: groups.subarray(0, count),
    index: index.subarray(0, count),
  };
}

function reweight(
  points: Points,
  groups: number,
  startSlope: number,
): { slope: number; offset: Float64Array } {
  const { x, y, group } = points;
  const residual = new Float64Array(x.length);
  const weight = new Float64Array(x.length);
  const spanMhz = x[x.length - 1]! - x[0]!;
  const offset = medianOffsets(points, groups, startSlope);
  let slope = startSlope;

  for (let pass = 0; pass < PASSES; pass++) {
    for (let i = 0; i < x.length; i++) residual[i] = Math.abs(y[i]! - offset[group[i]!]! - slope * x[i]!);
    const reach = BISQUARE * Math.max(SMALLEST_NOISE_DB, MAD_TO_SD * medianInPlace(residual));

    for (let step = 0; step < STEPS_PER_PASS; step++) {
      for (let i = 0; i < x.length; i++) {
        const u = (y[i]! - offset[group[i]!]! - slope * x[i]!) / reach;
        weight[i] = Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
      }
      const line = groupedLine(x, y, weight, group, groups);
      if (line === null) break;
      const moved = Math.abs(line.slope - slope) * spanMhz;
      slope = line.slope;
      for (let g = 0; g < groups; g++) offset[g] = line.offset[g] ?? offset[g]!;
      if (moved < CLOSE_ENOUGH_DB) break;
    }
  }
  return { slope, offset };
}

/** By group; NaN where nothing of a group was measured. */
function medianOffsets({ x, y, group }: Points, groups: number, slope: number): Float64Array {
  const offset = new Float64Array(groups);
  const remainder = new Float64Array(x.length);
  for (let g = 0; g < groups; g++) {
    let count = 0;
    for (let i = 0; i < x.length; i++) if (group[i] === g) remainder[count++] = y[i]! - slope * x[i]!;
    offset[g] = medianInPlace(remainder, count);
  }
  return offset;
}

/** Counted over the carriers given, measured or not, so that a lost carrier doesn't change what level means. */
function referenceIndex(
  points: Points,
  offset: Float64Array,
  names: readonly (string | number)[],
  { group, referenceGroup }: RobustLineOptions,
): number {
  const wanted = referenceGroup === undefined ? -1 : names.indexOf(referenceGroup);
  if (wanted >= 0 && !Number.isNaN(offset[wanted]!)) return wanted;

  const counts = new Uint32Array(names.length);
  if (group === undefined) counts[0] = points.x.length;
  else for (const name of group) counts[names.indexOf(name)]!++;
  let largest = -1;
  for (let g = 0; g < names.length; g++) {
    if (Number.isNaN(offset[g]!)) continue;
    if (largest < 0 || counts[g]! > counts[largest]!) largest = g;
  }
  return largest;
}
