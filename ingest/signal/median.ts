import { measuredValues } from './measuredValues.ts';
import { medianInPlace } from './medianInPlace.ts';

/**
 * The middle of the values measured; the mean of the two middle ones when their number is even.
 * Holds while fewer than half of them are wrong. Unit of the result: that of the values. Null when nothing was
 * measured; RangeError for NaN or infinity.
 *
 * @example median([1, null, 9, 2]) // 2
 */
export function median(values: readonly (number | null)[]): number | null {
  const measured = measuredValues(values);
  return measured.length === 0 ? null : medianInPlace(measured);
}
