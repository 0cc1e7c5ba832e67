import { measuredValues } from './measuredValues.ts';
import { medianInPlace } from './medianInPlace.ts';

/** Makes the median absolute deviation of normal noise equal to its standard deviation: 1 / Φ⁻¹(0.75). */
export const MAD_TO_SD = 1.482602218506;

/**
 * Median distance from the median: a spread that holds while fewer than half of the values are wrong. Times
 * `MAD_TO_SD` it compares with a standard deviation. Null when nothing was measured; RangeError for NaN or infinity.
 *
 * @example medianAbsoluteDeviation([1, 1, 2, 2, 4, 6, 9]) // 1
 */
export function medianAbsoluteDeviation(values: readonly (number | null)[]): number | null {
  const measured = measuredValues(values);
  if (measured.length === 0) return null;

  const middle = medianInPlace(measured);
  for (let i = 0; i < measured.length; i++) measured[i] = Math.abs(measured[i]! - middle);
  return medianInPlace(measured);
}
