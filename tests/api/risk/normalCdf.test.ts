import { expect, test } from 'vitest';
import { normalCdf } from '../../../api/risk/normalCdf.ts';

/** R 4.2.2, `sprintf("%.15g", pnorm(z))`. */
const PNORM: readonly [number, number][] = [
  [-6, 9.86587645037698e-10],
  [-3, 0.00134989803163009],
  [-1.2815515655446, 0.1],
  [-0.5, 0.308537538725987],
  [0, 0.5],
  [1, 0.841344746068543],
  [1.6448536269514722, 0.95],
  [4, 0.999968328758167],
];

test.each(PNORM)('normalCdf(%f) agrees with R', (z, expected) => {
  expect(Math.abs(normalCdf(z) - expected)).toBeLessThan(2e-14);
});

test('normalCdf is certain far out, and never leaves 0 to 1', () => {
  expect([normalCdf(-40), normalCdf(40)]).toEqual([0, 1]);
  for (let z = -9; z <= 9; z += 0.01) {
    expect(normalCdf(z)).toBeGreaterThanOrEqual(0);
    expect(normalCdf(z)).toBeLessThanOrEqual(1);
  }
});
