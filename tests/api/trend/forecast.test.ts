import { expect, test } from 'vitest';
import { type Course, forecast } from '../../../api/trend/forecast.ts';

const none = { sizeVariance: 0, rateVariance: 0, covariance: 0 };
const course = (sizeDb: number, rateDbPerDay: number, spread: Partial<Course['spread']> = {}): Course => ({
  sizeDb,
  rateDbPerDay,
  spread: { ...none, ...spread },
});
/** A level of 20 dBmV without the change, moved by it dB for dB. */
const level = { level: { withoutDb: 20, perDb: 1 } };
const window = [
  { name: 'low', metric: 'level', min: 10, max: null },
  { name: 'high', metric: 'level', min: null, max: 26 },
] as const;

test('days to a limit are where (s·t − d)² = z²·(V + 2·C·t + R·t² + w²)', () => {
  // 2 dB lost, 8 dB to go at −0.1 dB a day; R = 0.013², C = 0.6·0.013·0.05, V = 0.05², 0.1 dB of wander, z = 1.2816: both roots of
  // (s² − z²R)·t² − 2·(s·d + z²C)·t + d² − z²(V + w²) = 0.
  const [s, d, z, w] = [0.1, 8, 1.2815516, 0.1];
  const spread = { sizeVariance: 0.05 ** 2, rateVariance: 0.013 ** 2, covariance: 0.6 * 0.013 * 0.05 };
  const a = s * s - z * z * spread.rateVariance;
  const b = s * d + z * z * spread.covariance;
  const root = Math.sqrt(b * b - a * (d * d - z * z * (spread.sizeVariance + w * w)));
  const { daysToLimit, limitName } = forecast(course(-2, -0.1, spread), level, window);
  expect(limitName).toBe('low');
  expect(Math.abs(daysToLimit!.p10 - (b - root) / a)).toBeLessThan(0.051);
  expect(Math.abs(daysToLimit!.p50 - 80)).toBeLessThan(0.051);
  expect(Math.abs(daysToLimit!.p90 - (b + root) / a)).toBeLessThan(0.051);
});

test('a rate that may be none may never bring the limit', () => {
  const { daysToLimit } = forecast(course(-2, -0.1, { rateVariance: 0.1 ** 2 }), level, window);
  expect(daysToLimit!.p50).toBeCloseTo(80, 1);
  expect(daysToLimit!.p90).toBe(3650);
});

test('a rising level is held against the upper limit', () => {
  const told = forecast(course(1, 0.1), level, window);
  expect(told).toMatchObject({ limitName: 'high', daysToLimit: { p50: 50 } });
});

test('a figure that the change moves the other way, or by half, has its own way to go', () => {
  // Tilt from −1 dB by −0.5 dB for each dB lost: it rises by 0.05 dB a day and stands at 0, 3 dB below its limit.
  const tilt = { tilt: { withoutDb: -1, perDb: -0.5 } };
  const told = forecast(course(-2, -0.1), tilt, [{ name: 'tilt', metric: 'tilt', min: -3, max: 3 }]);
  expect(told.daysToLimit!.p50).toBeCloseTo(60, 1);
});

test('of two limits the one reached first is named', () => {
  const both = { ...level, mer: { withoutDb: 4, perDb: 1 } };
  const told = forecast(course(-2, -0.1), both, [
    ...window,
    { name: 'MER', metric: 'mer', min: 0, max: null },
  ]);
  expect(told.limitName).toBe('MER');
  expect(told.daysToLimit!.p50).toBeCloseTo(20, 1);
});

test('past the limit no day is left, and without a limit ahead nothing is said', () => {
  const nothing = { daysToLimit: null, limitName: null };
  expect(forecast(course(-11, -0.1), level, window).daysToLimit).toEqual({ p10: 0, p50: 0, p90: 0 });
  expect(forecast(course(1, 0.1), level, window.slice(0, 1))).toEqual(nothing);
  expect(forecast(course(0, 0), level, window)).toEqual(nothing);
  expect(forecast(course(-2, -0.1), {}, window)).toEqual(nothing);
});
