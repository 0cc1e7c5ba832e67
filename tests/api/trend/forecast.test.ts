import { expect, test } from 'vitest';
import { type Course, forecast } from '../../../api/trend/forecast.ts';

const course = (now: number, slope: number, error: number): Course => ({
  now: { level: now },
  slope: { level: slope },
  slopeError: { level: error },
});
const window = [
  { name: 'low', metric: 'level', min: 10, max: null },
  { name: 'high', metric: 'level', min: null, max: 26 },
] as const;

test('days to a limit are where (slope·t − distance)² = z²·((error·t)² + wander²)', () => {
  // 8 dB away, −0.1 dB a day with 1.3 · 0.01 dB a day of error, 0.1 dB of wander, z = 1.2816: both roots of
  // (s² − z²e²)·t² − 2·s·d·t + d² − z²w² = 0.
  const [s, e, w, d, z] = [0.1, 0.013, 0.1, 8, 1.2815516];
  const a = s * s - (z * e) ** 2;
  const root = Math.sqrt((s * d) ** 2 - a * (d * d - (z * w) ** 2));
  const { daysToLimit, limitName } = forecast(course(18, -0.1, 0.01), window);
  expect(limitName).toBe('low');
  expect(Math.abs(daysToLimit!.p10 - (s * d - root) / a)).toBeLessThan(0.051);
  expect(Math.abs(daysToLimit!.p50 - 80)).toBeLessThan(0.051);
  expect(Math.abs(daysToLimit!.p90 - (s * d + root) / a)).toBeLessThan(0.051);
});

test('a slope that may be none may never reach the limit', () => {
  const { daysToLimit } = forecast(course(18, -0.1, 0.1), window);
  expect(daysToLimit!.p50).toBeCloseTo(80, 1);
  expect(daysToLimit!.p90).toBe(3650);
});

test('a rising level is held against the upper limit', () => {
  expect(forecast(course(18, 0.1, 0.001), window)).toMatchObject({ limitName: 'high' });
});

test('of two limits the one reached first is named', () => {
  const both: Course = { now: { level: 18, mer: 2 }, slope: { level: -0.1, mer: -0.1 }, slopeError: {} };
  const told = forecast(both, [...window, { name: 'MER', metric: 'mer', min: 0, max: null }]);
  expect(told.limitName).toBe('MER');
  expect(told.daysToLimit!.p50).toBeCloseTo(20, 1);
});

test('past the limit no day is left, and without a limit ahead nothing is said', () => {
  expect(forecast(course(9, -0.1, 0.001), window).daysToLimit).toEqual({ p10: 0, p50: 0, p90: 0 });
  expect(forecast(course(18, 0.1, 0.001), window.slice(0, 1))).toEqual({
    daysToLimit: null,
    limitName: null,
  });
  expect(forecast(course(18, 0, 0.001), window)).toEqual({ daysToLimit: null, limitName: null });
});
