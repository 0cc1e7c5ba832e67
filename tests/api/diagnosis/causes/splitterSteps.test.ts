import { describe, expect, test } from 'vitest';
import {
  matchingPassive,
  PASSIVE_LOSSES,
  passiveSizeRatio,
  sdOf,
} from '../../../../api/diagnosis/causes/splitterSteps.ts';
import { splitterLossDb } from '../../../../ingest/signal/splitterLossDb.ts';
import { tapThroughLossDb } from '../../../../ingest/signal/tapThroughLossDb.ts';
import reference from '../../../reference/passives.json' with { type: 'json' };

const WAYS = {
  'a two-way splitter': 2,
  'a three-way splitter': 3,
  'a four-way splitter': 4,
  'an eight-way splitter': 8,
};

describe('steps that a passive makes', () => {
  test.each(Object.entries(WAYS))(
    '%s takes 0.3 to 2.5 dB more than one that wastes nothing',
    (what, ways) => {
      const { lowDb, highDb } = PASSIVE_LOSSES.find((each) => each.what === what)!;
      const idealDb = reference.idealSplitter[String(ways) as keyof typeof reference.idealSplitter];
      expect(splitterLossDb(ways)).toBeCloseTo(idealDb, 3);
      expect(lowDb - idealDb).toBeGreaterThan(0.28);
      expect(highDb - idealDb).toBeLessThanOrEqual(2.5);
    },
  );

  test('the line past a tap takes more than past one that wastes nothing', () => {
    const { lowDb, highDb } = PASSIVE_LOSSES.find(({ what }) => what === 'the line past a tap')!;
    expect(lowDb).toBeGreaterThan(tapThroughLossDb(20));
    expect(highDb).toBeGreaterThan(tapThroughLossDb(6));
  });

  test.each([
    [-3.5, 'a two-way splitter'],
    [3.9, 'a two-way splitter'],
    [-5.7, 'a three-way splitter'],
    [-7.1, 'a four-way splitter'],
    [-10.8, 'an eight-way splitter'],
    [-1.2, 'the line past a tap'],
    [-8.8, undefined],
    [-20, undefined],
  ])('%d dB matches %s', (stepDb, what) => {
    expect(matchingPassive(stepDb, 0.1)?.what).toBe(what);
  });

  test('a rough estimate matches more, and says less', () => {
    expect(matchingPassive(-4.6, 0.1)).toBeNull();
    expect(matchingPassive(-4.6, 0.6)?.what).toBe('a two-way splitter');
    expect(passiveSizeRatio(-3.6, 0.1)).toBeGreaterThan(passiveSizeRatio(-3.6, 1));
    expect(passiveSizeRatio(-4.75, 0.1)).toBeLessThan(passiveSizeRatio(-4.75, 1));
  });

  test('shares leave room for pads and exchanges', () => {
    const known = PASSIVE_LOSSES.reduce((sum, { share }) => sum + share, 0);
    expect(known).toBeCloseTo(0.9);
  });

  test('an 80 % interval of 2.563 dB has a standard deviation of 1 dB', () => {
    expect(sdOf(-1.2816, 1.2816)).toBeCloseTo(1, 4);
  });
});
