import { describe, expect, test } from 'vitest';
import { smoothNoise, steppedNoise } from '../../../seed/simulator/noise.ts';

const STEP_MS = 900_000;
const NOISE = { sd: 0.2, stepMs: STEP_MS, correlation: 0.6 };
const COUNT = 20_000;

describe.each([
  ['steppedNoise', steppedNoise],
  ['smoothNoise', smoothNoise],
])('%s', (_, noise) => {
  const series = Array.from({ length: COUNT }, (_, index) => noise(11, index * STEP_MS, NOISE));

  test('has the deviation asked for', () => {
    expect(Math.sqrt(autocovariance(series, 0))).toBeCloseTo(0.2, 1);
    expect(Math.abs(Math.sqrt(autocovariance(series, 0)) / 0.2 - 1)).toBeLessThan(0.05);
  });

  test('has the correlation asked for from step to step, and its powers further on', () => {
    const variance = autocovariance(series, 0);
    expect(autocovariance(series, 1) / variance).toBeCloseTo(0.6, 1);
    expect(autocovariance(series, 2) / variance).toBeCloseTo(0.36, 1);
    expect(Math.abs(autocovariance(series, 20) / variance)).toBeLessThan(0.06);
  });

  test('is a function of time alone, in any order', () => {
    const later = noise(11, 77 * STEP_MS + 5, NOISE);
    noise(11, 3 * STEP_MS, NOISE);
    expect(noise(11, 77 * STEP_MS + 5, NOISE)).toBe(later);
  });
});

test('smoothNoise moves without jumps', () => {
  const before = smoothNoise(3, 50 * STEP_MS - 1, NOISE);
  const after = smoothNoise(3, 50 * STEP_MS, NOISE);
  expect(Math.abs(after - before)).toBeLessThan(0.001);
});

test('noise without correlation is white', () => {
  const white = Array.from({ length: COUNT }, (_, index) =>
    steppedNoise(2, index * STEP_MS, { ...NOISE, correlation: 0 }),
  );
  expect(Math.abs(autocovariance(white, 1) / autocovariance(white, 0))).toBeLessThan(0.03);
});

function autocovariance(series: readonly number[], lag: number): number {
  const mean = series.reduce((sum, value) => sum + value, 0) / series.length;
  let sum = 0;
  for (let index = lag; index < series.length; index += 1) {
    sum += (series[index]! - mean) * (series[index - lag]! - mean);
  }
  return sum / (series.length - lag);
}
