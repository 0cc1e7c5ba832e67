/** Neighbours in a 6 or an 8 MHz raster, aeronautical offsets included; one empty 6 MHz channel between is too far. */
const ADJACENT_MHZ = 8.1;

/**
 * Difference of each carrier from its neighbour below, dB: positive when the upper one is stronger. Compare like with
 * like: analogue carriers are quoted as peak envelope, digital ones as average power.
 *
 * @param freqMhz rising
 * @param levelDbmv parallel to it; null is "not measured"
 * @returns parallel to both; null where the carrier or its neighbour was not measured, or none lies within 8.1 MHz below
 * @throws RangeError when the arrays differ in length
 *
 * @example adjacentDifferenceDb([57, 63, 79], [20, 18, 21]) // [null, -2, null]
 */
export function adjacentDifferenceDb(
  freqMhz: readonly number[],
  levelDbmv: readonly (number | null)[],
): (number | null)[] {
  if (freqMhz.length !== levelDbmv.length) {
    throw new RangeError(`${freqMhz.length} frequencies but ${levelDbmv.length} levels; give one for each`);
  }
  return levelDbmv.map((upper, i) => {
    const lower = levelDbmv[i - 1] ?? null;
    if (upper === null || lower === null) return null;
    return freqMhz[i]! - freqMhz[i - 1]! > ADJACENT_MHZ ? null : upper - lower;
  });
}
