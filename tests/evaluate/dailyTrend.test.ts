import { expect, test } from 'vitest';
import epa from '../reference/mannKendallEpa.json' with { type: 'json' };
import nile from '../reference/nile.json' with { type: 'json' };
import { mannKendall } from './mannKendall.ts';
import { theilSenSlope } from './theilSenSlope.ts';

test('Mann and Kendall’s test gives the published S, variance and Z of the EPA example', () => {
  const { s, variance, z, p } = mannKendall(epa.values)!;
  expect(s).toBe(epa.s);
  expect(variance).toBeCloseTo(epa.varS, 2);
  expect(z).toBeCloseTo(epa.z, 3);
  expect(p / 2).toBeCloseTo(epa.pOneSided, 3);
});

test('Theil and Sen’s slope of the EPA example is 1, and that of four values by hand 0.75', () => {
  expect(theilSenSlope(epa.values)).toBe(epa.slope);
  expect(theilSenSlope([1, 3, 2, 4])).toBe(0.75);
});

test('both agree with SciPy on the Nile', () => {
  const { s, variance, z } = mannKendall(nile.values)!;
  expect(s).toBe(nile.s);
  expect(variance).toBeCloseTo(nile.varS, 3);
  expect(z).toBeCloseTo(nile.z, 4);
  expect(theilSenSlope(nile.values)).toBeCloseTo(nile.slopePerYear, 10);
});
