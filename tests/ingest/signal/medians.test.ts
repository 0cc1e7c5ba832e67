import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { median } from '../../../ingest/signal/median.ts';
import { MAD_TO_SD, medianAbsoluteDeviation } from '../../../ingest/signal/medianAbsoluteDeviation.ts';
import { medianInPlace } from '../../../ingest/signal/medianInPlace.ts';
import reference from '../../reference/robustConstants.json' with { type: 'json' };

/** The definition, by sorting. */
function sortedMedian(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

describe('median and medianAbsoluteDeviation', () => {
  // Published: textbook example and constant (after; the constant recomputed from the normal quantile).
  test('agree with the textbook example', () => {
    const { data, median: middle, mad, scaled } = reference.example;
    expect(median(data)).toBe(middle);
    expect(medianAbsoluteDeviation(data)).toBe(mad);
    expect(mad * MAD_TO_SD).toBeCloseTo(scaled, 6);
    expect(MAD_TO_SD).toBe(reference.madToSd);
  });

  test('leave nulls out and have no answer for nothing', () => {
    expect(median([null, 4, null, 2])).toBe(3);
    expect(median([])).toBeNull();
    expect(medianAbsoluteDeviation([null])).toBeNull();
  });

  test('refuse NaN, and say where it is', () => {
    expect(() => median([1, Number.NaN])).toThrow('value 1 is NaN; use null');
  });

  test('hold while fewer than half of the values are wrong', () => {
    expect(median([20, 20.1, 19.9, -40, 1e6])).toBe(20);
    expect(medianAbsoluteDeviation([20, 20.1, 19.9, -40, 1e6])).toBeCloseTo(0.1, 9);
  });

  test('selection finds what sorting finds, for short and long arrays with ties', () => {
    const values = fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1, maxLength: 200 });
    fc.assert(
      fc.property(values, (given) => {
        expect(medianInPlace(Float64Array.from(given))).toBe(sortedMedian(given));
      }),
      { numRuns: 500 },
    );
  });

  test('medianInPlace looks at the first values only', () => {
    expect(medianInPlace(Float64Array.of(3, 1, 2, 99, 99), 3)).toBe(2);
    expect(medianInPlace(new Float64Array(4), 0)).toBeNaN();
  });
});
