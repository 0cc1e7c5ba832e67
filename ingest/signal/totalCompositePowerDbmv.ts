import { sumPowersDbmv } from './sumPowersDbmv.ts';

/**
 * Power of all that a feed carries, which is what an amplifier has to handle. A carrier that is quoted per 6 MHz of a
 * wider block counts once for each 6 MHz. Analogue carriers are quoted as peak envelope, so with them the sum is an
 * upper bound. Carriers not measured are missing from it: compare sums of the same carriers only.
 *
 * @param levelDbmv null is "not measured"
 * @param bandwidths parallel to it: how many of its measuring bandwidths each carrier fills; 1 for all when absent
 * @returns dBmV; null when nothing was measured
 * @throws RangeError when the arrays differ in length or a count isn't positive
 *
 * @example totalCompositePowerDbmv(Array(135).fill(20)) // 41.30
 */
export function totalCompositePowerDbmv(
  levelDbmv: readonly (number | null)[],
  bandwidths?: readonly number[],
): number | null {
  if (bandwidths === undefined) return sumPowersDbmv(levelDbmv);
  if (bandwidths.length !== levelDbmv.length) {
    throw new RangeError(`${levelDbmv.length} levels but ${bandwidths.length} bandwidths; give one for each`);
  }
  return sumPowersDbmv(
    levelDbmv.map((level, i) => {
      const times = bandwidths[i]!;
      if (!(times > 0)) throw new RangeError(`bandwidths[${i}] is ${times}; give a number above 0`);
      return level === null ? null : level + 10 * Math.log10(times);
    }),
  );
}
