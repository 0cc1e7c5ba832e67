import { expect, test } from 'vitest';
import { bandDrift } from '../../../api/risk/bandDrift.ts';
import type { Finding } from '../../../api/trend/types.ts';
import { givenFinding } from '../diagnosis/givenFinding.ts';

const [LOW, MIDDLE, HIGH] = [54, 527, 1000];

function ratesAt(changes: Partial<Finding>, freqMhz: readonly number[]): number[] {
  const drift = bandDrift([givenFinding({ slopeDbPerDay: -0.1, ...changes })], LOW, HIGH);
  return freqMhz.map((mhz) => drift.levelAt(mhz).dbPerDay);
}

test('a flat drift moves every carrier alike, and so does a drift of level whose shape is not known', () => {
  expect(ratesAt({ shape: 'flat' }, [LOW, HIGH])).toEqual([-0.1, -0.1]);
  expect(ratesAt({ shape: null }, [LOW, HIGH])).toEqual([-0.1, -0.1]);
});

test('a cable drift follows the root of the frequency, by level at mid band or by tilt across it', () => {
  const [low, middle, high] = ratesAt({ shape: 'cable' }, [LOW, MIDDLE, HIGH]);
  expect(middle).toBeCloseTo(-0.1, 12);
  expect(high! / low!).toBeCloseTo(Math.sqrt(HIGH / LOW), 12);

  const [bottom, top] = ratesAt({ shape: 'cable', metric: 'tilt' }, [LOW, HIGH]);
  expect(top! - bottom!).toBeCloseTo(-0.1, 12);
  expect(top! / bottom!).toBeCloseTo(Math.sqrt(HIGH / LOW), 12);
});

test('a poor contact takes from the low end, so that tilt rises while level falls', () => {
  const [low, high] = ratesAt({ shape: 'low-end', metric: 'tilt', slopeDbPerDay: 0.1 }, [LOW, HIGH]);
  expect(low).toBeLessThan(0);
  expect(high! - low!).toBeCloseTo(0.1, 12);
  expect(low! / high!).toBeCloseTo(HIGH / LOW, 9);
});

test('a tilt without a shape turns the band about its middle', () => {
  const rates = ratesAt({ shape: null, metric: 'tilt' }, [LOW, MIDDLE, HIGH]);
  expect(rates.map((rate) => rate + 0)).toEqual([0.05, 0, -0.05]);
});

test('drifts of different shapes add up, and of one shape the steepest counts', () => {
  const drift = bandDrift(
    [
      givenFinding({ slopeDbPerDay: -0.1 }),
      givenFinding({ event: 2, slopeDbPerDay: -0.04 }),
      givenFinding({ event: 3, metric: 'tilt', shape: null, slopeDbPerDay: -0.06 }),
      givenFinding({ event: 4, slopeDbPerDay: -5, closedMs: 0 }),
      givenFinding({ event: 5, kind: 'step', slopeDbPerDay: null }),
    ],
    LOW,
    HIGH,
  );
  expect(drift.levelAt(HIGH).dbPerDay).toBeCloseTo(-0.13, 12);
  expect(drift.levelAt(LOW).dbPerDay).toBeCloseTo(-0.07, 12);
});

test('doubt grows with the rate that a carrier has', () => {
  const shaped = { shape: 'cable', slopeLowDbPerDay: -0.14, slopeHighDbPerDay: -0.06 } as const;
  const drift = bandDrift([givenFinding({ slopeDbPerDay: -0.1, ...shaped })], LOW, HIGH);
  // Half an 80 % interval of a normal value is 1.2816 standard deviations.
  expect(drift.levelAt(MIDDLE).sdDbPerDay).toBeCloseTo(0.04 / 1.2816, 5);
  expect(drift.levelAt(HIGH).sdDbPerDay).toBeGreaterThan(drift.levelAt(LOW).sdDbPerDay);
});

test('MER moves by itself', () => {
  const mer = givenFinding({ metric: 'mer', shape: null, slopeDbPerDay: -0.2 });
  const drift = bandDrift([mer], LOW, HIGH);
  expect(drift.mer.dbPerDay).toBe(-0.2);
  expect(drift.levelAt(MIDDLE).dbPerDay).toBe(0);
});
