import { describe, expect, test } from 'vitest';
import {
  gaussianAt,
  gaussianStream,
  seedFrom,
  uniformAt,
  uniformStream,
} from '../../../seed/simulator/random.ts';

const DRAWS = 40_000;

describe('random', () => {
  test('the same parts give the same seed and other parts another', () => {
    expect(seedFrom('a', 1)).toBe(seedFrom('a', 1));
    expect(seedFrom('a', 1)).not.toBe(seedFrom('a', 2));
    expect(seedFrom('a', 1)).not.toBe(seedFrom(1, 'a'));
  });

  test('times that differ beyond 32 bits have different draws', () => {
    expect(uniformAt(7, 1_700_000_000_000)).not.toBe(uniformAt(7, 1_700_000_000_000 + 2 ** 32));
  });

  test('uniformStream(seed) starts as mulberry32 does elsewhere', () => {
    const next = uniformStream(0);
    expect([next(), next(), next()].map((value) => value * 2 ** 32)).toEqual([
      1144304738, 1416247, 958946056,
    ]);
  });

  test.each([
    ['uniformAt', (index: number) => uniformAt(5, index)],
    ['uniformStream', streamed(uniformStream(5))],
  ])('%s fills (0, 1) evenly', (_, draw) => {
    const { mean, sd } = moments(draw);
    expect(mean).toBeCloseTo(0.5, 2);
    expect(sd).toBeCloseTo(Math.sqrt(1 / 12), 2);
  });

  test.each([
    ['gaussianAt', (index: number) => gaussianAt(5, index)],
    ['gaussianStream', streamed(gaussianStream(5))],
  ])('%s has mean 0, deviation 1 and a normal share beyond two deviations', (_, draw) => {
    const { mean, sd, values } = moments(draw);
    expect(Math.abs(mean)).toBeLessThan(0.02);
    expect(sd).toBeCloseTo(1, 1);
    const beyond = values.filter((value) => Math.abs(value) > 2).length / DRAWS;
    expect(Math.abs(beyond - 0.0455)).toBeLessThan(0.005);
  });
});

function streamed(next: () => number): (index: number) => number {
  return () => next();
}

function moments(draw: (index: number) => number): { mean: number; sd: number; values: number[] } {
  const values = Array.from({ length: DRAWS }, (_, index) => draw(index));
  const mean = values.reduce((sum, value) => sum + value, 0) / DRAWS;
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / DRAWS;
  return { mean, sd: Math.sqrt(variance), values };
}
