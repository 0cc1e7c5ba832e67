import { expect, test } from 'vitest';
import { hinge } from '../../../../api/trend/statistics/hinge.ts';
import { lagOneCorrelation } from '../../../../api/trend/statistics/lagOneCorrelation.ts';
import { mannKendall } from '../../../../api/trend/statistics/mannKendall.ts';
import { normalCdf } from '../../../../api/trend/statistics/normal.ts';
import { quantile } from '../../../../api/trend/statistics/quantile.ts';
import { theilSen } from '../../../../api/trend/statistics/theilSen.ts';
import epa from '../../../reference/mannKendallEpa.json' with { type: 'json' };
import nile from '../../../reference/nile.json' with { type: 'json' };

const order = (values: readonly unknown[]) => values.map((_, i) => i);

test('Mann-Kendall gives the published S, variance and Z of the EPA example', () => {
  const result = mannKendall(epa.values)!;
  expect(result.s).toBe(epa.s);
  expect(result.variance).toBeCloseTo(epa.varS, 2);
  expect(result.z).toBeCloseTo(epa.z, 3);
  expect(result.p / 2).toBeCloseTo(epa.pOneSided, 3);
});

test('Theil-Sen gives slope 1 and intercept 9 on the EPA example', () => {
  const x = order(epa.values).map((i) => i + 1);
  expect(theilSen(x, epa.values)).toMatchObject({ slope: epa.slope, intercept: epa.intercept });
});

test('Mann-Kendall and Theil-Sen agree with SciPy on the Nile', () => {
  const result = mannKendall(nile.values)!;
  expect(result.s).toBe(nile.s);
  expect(result.variance).toBeCloseTo(nile.varS, 3);
  expect(result.z).toBeCloseTo(nile.z, 4);
  expect(theilSen(order(nile.values), nile.values)!.slope).toBeCloseTo(nile.slopePerYear, 10);
});

test('a hand-worked set of four has slope 0.75', () => {
  expect(theilSen([1, 2, 3, 4], [1, 3, 2, 4])!.slope).toBe(0.75);
});

test('the slope interval holds the slope and narrows to it without variance', () => {
  const x = order(nile.values);
  const wide = theilSen(x, nile.values, mannKendall(nile.values)!.variance)!;
  expect(wide.low).toBeLessThan(-2.6);
  expect(wide.high).toBeGreaterThan(-2.6);
  const narrow = theilSen(x, nile.values, 0)!;
  expect(narrow.high - narrow.low).toBeLessThan(0.05);
});

test('serial correlation widens the variance and lowers Z', () => {
  expect(Math.abs(mannKendall(nile.values, 3)!.z)).toBeLessThan(Math.abs(mannKendall(nile.values)!.z) / 1.7);
});

test('a bend is found where it was put, with an interval that holds it', () => {
  const x = order(new Array(30).fill(0));
  const y = x.map((day) => 0.2 + 0.1 * Math.max(0, day - 12) + (day % 2 === 0 ? 0.03 : -0.03));
  const found = hinge(x, y)!;
  expect(Math.abs(found.at - 12)).toBeLessThanOrEqual(1);
  expect(found.low).toBeLessThanOrEqual(12);
  expect(found.high).toBeGreaterThanOrEqual(12);
  expect(found.slope).toBeCloseTo(0.1, 2);
  expect(found.before).toBeCloseTo(0.2, 1);
});

test('too little data has no answer', () => {
  expect(mannKendall([1, 2])).toBeNull();
  expect(theilSen([1, 1], [2, 3])).toBeNull();
  expect(hinge([1, 2, 3], [1, 2, 3])).toBeNull();
  expect(quantile([], 0.5)).toBeNull();
});

test('normal probabilities match printed tables', () => {
  expect(normalCdf(0)).toBeCloseTo(0.5, 12);
  expect(normalCdf(1.959963984540054)).toBeCloseTo(0.975, 12);
  expect(normalCdf(-3)).toBeCloseTo(0.001349898, 9);
  expect(normalCdf(-6) / 9.865876450377e-10).toBeCloseTo(1, 8);
});

test('quantiles interpolate between ranks', () => {
  expect(quantile([4, 1, 3, 2], 0.5)).toBe(2.5);
  expect(quantile([10, 20], 0.1)).toBe(11);
});

test('an alternating series has negative lag-one correlation and a constant one none', () => {
  expect(lagOneCorrelation([1, -1, 1, -1, 1, -1])).toBeLessThan(-0.8);
  expect(lagOneCorrelation([2, 2, 2])).toBe(0);
});
