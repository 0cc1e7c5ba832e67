import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { planInForce } from '../../../ingest/plan/planInForce.ts';
import { planVersion } from './planVersions.ts';

describe('planInForce', () => {
  const versions = [planVersion(2, 2000, []), planVersion(1, 1000, []), planVersion(3, 3000, [])];

  test('takes a version over at its very moment', () => {
    expect(planInForce(versions, 1999)?.version).toBe(1);
    expect(planInForce(versions, 2000)?.version).toBe(2);
    expect(planInForce(versions, 9999)?.version).toBe(3);
  });

  test('is null before the first version', () => {
    expect(planInForce(versions, 999)).toBeNull();
    expect(planInForce([], 0)).toBeNull();
  });

  test('prefers the higher version when two share their moment', () => {
    expect(planInForce([planVersion(5, 10, []), planVersion(4, 10, [])], 10)?.version).toBe(5);
  });

  test('goes by date, not by version number: a correction may be dated back', () => {
    expect(planInForce([planVersion(1, 2000, []), planVersion(2, 1000, [])], 2500)?.version).toBe(1);
  });

  test('does not depend on the order of the versions', () => {
    fc.assert(
      fc.property(
        fc.shuffledSubarray(versions, { minLength: 3 }),
        fc.integer({ min: 0, max: 4000 }),
        (shuffled, at) => {
          expect(planInForce(shuffled, at)).toEqual(planInForce(versions, at));
        },
      ),
    );
  });
});
