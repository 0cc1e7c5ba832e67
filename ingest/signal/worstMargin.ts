/** The carrier that is nearest to what it needs, or furthest below it. */
export interface WorstMargin {
  readonly index: number;
  /** Value less minimum, dB; negative when the minimum is missed. */
  readonly marginDb: number;
}

/**
 * Smallest distance of MER or CNR above what each carrier needs. Digital service shows little until its threshold and
 * then fails within about 1 dB, so the margin is what to rank by, not the MER (common practice, no source).
 *
 * @param valueDb MER or CNR, dB; null is "not measured"
 * @param minimumDb parallel to `valueDb`: what the modulation of each carrier needs; null leaves a carrier out
 * @returns null when no carrier has both; the first when equal
 * @throws RangeError when the arrays differ in length
 *
 * @example worstMargin([38, 35, null], [33, 27, 33]) // { index: 0, marginDb: 5 }
 */
export function worstMargin(
  valueDb: readonly (number | null)[],
  minimumDb: readonly (number | null)[],
): WorstMargin | null {
  if (valueDb.length !== minimumDb.length) {
    throw new RangeError(`${valueDb.length} values but ${minimumDb.length} minima; give one for each`);
  }
  let index = -1;
  let marginDb = Number.POSITIVE_INFINITY;
  for (let i = 0; i < valueDb.length; i++) {
    const value = valueDb[i]!;
    const minimum = minimumDb[i]!;
    if (value === null || minimum === null || !(value - minimum < marginDb)) continue;
    index = i;
    marginDb = value - minimum;
  }
  return index < 0 ? null : { index, marginDb };
}
