import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { combineMerDb } from '../../../ingest/signal/combineMerDb.ts';
import { dbm75ToDbmv } from '../../../ingest/signal/dbm75ToDbmv.ts';
import { dbmvToDbm75 } from '../../../ingest/signal/dbmvToDbm75.ts';
import { dbmvToDbuv } from '../../../ingest/signal/dbmvToDbuv.ts';
import { dbuvToDbmv } from '../../../ingest/signal/dbuvToDbmv.ts';
import { sumPowersDbmv } from '../../../ingest/signal/sumPowersDbmv.ts';
import { totalCompositePowerDbmv } from '../../../ingest/signal/totalCompositePowerDbmv.ts';
import merCombine from '../../reference/merCombine.json' with { type: 'json' };
import reference from '../../reference/units75ohm.json' with { type: 'json' };

const level = fc.double({ min: -100, max: 100, noNaN: true });

describe('level units', () => {
  // Published: exact arithmetic; 1 mV = 0 dBmV is printed in 47 CFR 76.605 (read). tests/reference/units75ohm.json.
  test.each(reference.rows)('$dbmv dBmV is $dbuv dBµV and $dbm75 dBm at 75 Ω', ({ dbmv, dbuv, dbm75 }) => {
    expect(dbmvToDbuv(dbmv)).toBeCloseTo(dbuv, 9);
    expect(dbmvToDbm75(dbmv)).toBeCloseTo(dbm75, 4);
  });

  test('the distance from dBmV to dBm at 75 Ω is exact to twelve decimals', () => {
    expect(dbmvToDbm75(0)).toBeCloseTo(reference.dbm75MinusDbmv, 12);
  });

  // Computed in the same file: thresholds of 47 CFR 76.610 and 76.616.
  test('1e-4 W is +38.75 dBmV and 1e-5 W is +28.75 dBmV', () => {
    expect(dbm75ToDbmv(-10)).toBeCloseTo(38.7506, 4);
    expect(dbm75ToDbmv(-20)).toBeCloseTo(28.7506, 4);
  });

  test('conversions undo one another', () => {
    fc.assert(
      fc.property(level, (dbmv) => {
        expect(dbuvToDbmv(dbmvToDbuv(dbmv))).toBeCloseTo(dbmv, 10);
        expect(dbm75ToDbmv(dbmvToDbm75(dbmv))).toBeCloseTo(dbmv, 10);
      }),
    );
  });
});

describe('sumPowersDbmv', () => {
  test.each(reference.equalCarriers)('$n equal carriers add $addDb dB', ({ n, addDb }) => {
    expect(sumPowersDbmv(new Array<number>(n).fill(7))! - 7).toBeCloseTo(addDb, 4);
  });

  test.each(reference.sums)('$dbmv sum to $sumDbmv dBmV', ({ dbmv, sumDbmv }) => {
    expect(sumPowersDbmv(dbmv)).toBeCloseTo(sumDbmv, 4);
  });

  test('is null when nothing was measured, and leaves nulls out', () => {
    expect(sumPowersDbmv([])).toBeNull();
    expect(sumPowersDbmv([null, null])).toBeNull();
    expect(sumPowersDbmv([null, 12])).toBeCloseTo(12, 12);
  });

  test('is never below the strongest, and moves with all of them', () => {
    fc.assert(
      fc.property(fc.array(level, { minLength: 1, maxLength: 20 }), level, (levels, shift) => {
        const sum = sumPowersDbmv(levels)!;
        expect(sum).toBeGreaterThanOrEqual(Math.max(...levels) - 1e-9);
        expect(sumPowersDbmv(levels.map((value) => value + shift))).toBeCloseTo(sum + shift, 8);
      }),
    );
  });
});

describe('totalCompositePowerDbmv', () => {
  test('135 channels at 20 dBmV make 41.30 dBmV', () => {
    expect(totalCompositePowerDbmv(new Array<number>(135).fill(20))).toBeCloseTo(41.3033, 4);
  });

  test('a block quoted per 6 MHz counts once for each 6 MHz', () => {
    expect(totalCompositePowerDbmv([10], [16])).toBeCloseTo(10 + 12.0412, 4);
    expect(totalCompositePowerDbmv([10, 10], [1, 9])).toBeCloseTo(20, 9);
  });

  test('refuses bandwidths that do not fit the levels', () => {
    expect(() => totalCompositePowerDbmv([10, 10], [1])).toThrow(RangeError);
    expect(() => totalCompositePowerDbmv([10], [0])).toThrow('bandwidths[0]');
  });
});

describe('combineMerDb', () => {
  test.each(merCombine.cases)('$merDb dB together leave $totalDb dB', ({ merDb, totalDb }) => {
    expect(combineMerDb(merDb)).toBeCloseTo(totalDb, 2);
  });

  test('is never above the worst, and null when none is known', () => {
    expect(combineMerDb([null])).toBeNull();
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 60, noNaN: true }), { minLength: 1 }), (mer) => {
        expect(combineMerDb(mer)!).toBeLessThanOrEqual(Math.min(...mer) + 1e-9);
      }),
    );
  });
});
