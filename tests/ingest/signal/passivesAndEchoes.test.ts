import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { echoDistanceM } from '../../../ingest/signal/echoDistanceM.ts';
import { echoRippleDb } from '../../../ingest/signal/echoRippleDb.ts';
import { rippleEchoDbc } from '../../../ingest/signal/rippleEchoDbc.ts';
import { splitterLossDb } from '../../../ingest/signal/splitterLossDb.ts';
import { tapThroughLossDb } from '../../../ingest/signal/tapThroughLossDb.ts';
import echoes from '../../reference/echoRipple.json' with { type: 'json' };
import passives from '../../reference/passives.json' with { type: 'json' };

// Published: computed, tests/reference/passives.json and echoRipple.json.
describe('passives', () => {
  test.each(Object.entries(passives.idealSplitter))(
    'an ideal splitter %s ways loses %s dB',
    (ways, lossDb) => {
      expect(splitterLossDb(Number(ways))).toBeCloseTo(lossDb, 4);
    },
  );

  test.each(Object.entries(passives.idealTapThrough))(
    'an ideal tap of %s dB loses %s dB along the line',
    (tap, lossDb) => {
      expect(tapThroughLossDb(Number(tap))).toBeCloseTo(lossDb, 4);
    },
  );

  test('a tap of 3.01 dB is a splitter of two', () => {
    expect(tapThroughLossDb(splitterLossDb(2))).toBeCloseTo(splitterLossDb(2), 9);
  });

  test('refuses half a way and a tap without loss', () => {
    expect(() => splitterLossDb(1.5)).toThrow(RangeError);
    expect(() => tapThroughLossDb(0)).toThrow(RangeError);
  });
});

describe('echoes', () => {
  test.each(echoes.period)('ripple of $ripplePeriodMHz MHz at $vf comes from $distanceM m away', (row) => {
    expect(echoDistanceM(row.ripplePeriodMHz, row.vf)).toBeCloseTo(row.distanceM, 3);
  });

  test.each(echoes.amplitude)(
    'an echo of $echoDbc dBc makes $rippleDb dB of ripple, and back',
    ({ echoDbc, rippleDb }) => {
      expect(echoRippleDb(echoDbc)).toBeCloseTo(rippleDb, 4);
      expect(Math.abs(rippleEchoDbc(rippleDb) - echoDbc)).toBeLessThan(0.005);
    },
  );

  test('ripple and echo undo one another', () => {
    fc.assert(
      fc.property(fc.double({ min: -60, max: -1, noNaN: true }), (echoDbc) => {
        expect(rippleEchoDbc(echoRippleDb(echoDbc))).toBeCloseTo(echoDbc, 8);
      }),
    );
  });

  test('refuses an echo as strong as the carrier, no ripple, and a factor above 1', () => {
    expect(() => echoRippleDb(0)).toThrow(RangeError);
    expect(() => rippleEchoDbc(0)).toThrow(RangeError);
    expect(() => echoDistanceM(5, 1.2)).toThrow('velocityFactor is 1.2');
  });
});
