import { expect, test } from 'vitest';
import { normalNoise } from '../api/trend/noise.ts';
import published from '../reference/cusumRunLengths.json' with { type: 'json' };
import { cusumRunLength, oneSidedRunLength } from './cusumRunLength.ts';

test.each(published.twoSided)(
  'a two-sided CUSUM with k $k and h $h at a shift of $shiftSigma sigma runs for $runLength observations, as published',
  ({ h, k, shiftSigma, runLength }) => {
    // The table is printed to three figures, 139.49 as 139.
    expect(Math.abs(cusumRunLength(k, h, shiftSigma) / runLength - 1)).toBeLessThan(0.005);
  },
);

test.each(published.oneSided)(
  'a one-sided CUSUM with h $h runs for $runLength observations in control, as the NIST handbook prints',
  ({ h, k, runLength }) => {
    expect(Math.abs(oneSidedRunLength(k, h, 0) / runLength - 1)).toBeLessThan(0.003);
  },
);

test('simulation agrees with the integral equation', () => {
  const next = normalNoise(5);
  for (const shift of [0, 1]) {
    const runs = 1500;
    let total = 0;
    for (let run = 0; run < runs; run++) {
      let up = 0;
      let down = 0;
      while (up <= 4 && down <= 4) {
        const z = next() + shift;
        up = Math.max(0, up + z - 0.5);
        down = Math.max(0, down - z - 0.5);
        total++;
      }
    }
    expect(Math.abs(total / runs / cusumRunLength(0.5, 4, shift) - 1)).toBeLessThan(0.1);
  }
});

test('a threshold that is not above zero is refused', () => {
  expect(() => cusumRunLength(0.5, 0, 0)).toThrow(RangeError);
});
