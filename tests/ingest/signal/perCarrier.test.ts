import { describe, expect, test } from 'vitest';
import { adjacentDifferenceDb } from '../../../ingest/signal/adjacentDifferenceDb.ts';
import { deviationDb } from '../../../ingest/signal/deviationDb.ts';
import { flatnessDb } from '../../../ingest/signal/flatnessDb.ts';
import { worstMargin } from '../../../ingest/signal/worstMargin.ts';

describe('deviationDb', () => {
  test('is now less then, and null where either is missing', () => {
    expect(deviationDb([18, null, 20, 5], [20, 20, null, 5])).toEqual([-2, null, null, 0]);
  });

  test('refuses arrays of different lengths', () => {
    expect(() => deviationDb([1], [1, 2])).toThrow('1 values now but 2 then');
  });
});

describe('worstMargin', () => {
  test('finds the carrier nearest to what its own modulation needs, not the lowest MER', () => {
    expect(worstMargin([34, 30, null], [33, 27, 33])).toEqual({ index: 0, marginDb: 1 });
  });

  test('is negative below the minimum', () => {
    expect(worstMargin([40, 25], [33, 27])).toEqual({ index: 1, marginDb: -2 });
  });

  test('is null when no carrier has both a value and a minimum', () => {
    expect(worstMargin([null, 30], [33, null])).toBeNull();
    expect(worstMargin([], [])).toBeNull();
  });
});

describe('flatnessDb', () => {
  test('is peak to valley about the line', () => {
    expect(flatnessDb([0.4, null, -0.6, 0.1])).toBeCloseTo(1, 12);
    expect(flatnessDb([0.4])).toBe(0);
  });

  test('is null when nothing was measured', () => {
    expect(flatnessDb([null])).toBeNull();
  });
});

describe('adjacentDifferenceDb', () => {
  test('compares each carrier with its neighbour below, in 6 and 8 MHz rasters', () => {
    expect(adjacentDifferenceDb([57, 63, 69], [20, 18, 21])).toEqual([null, -2, 3]);
    expect(adjacentDifferenceDb([306, 314], [1, 3])).toEqual([null, 2]);
  });

  test('does not reach over an empty channel, or over one that was not measured', () => {
    expect(adjacentDifferenceDb([57, 69, 79], [20, 10, 10])).toEqual([null, null, null]);
    expect(adjacentDifferenceDb([57, 63, 69], [20, null, 10])).toEqual([null, null, null]);
  });
});
