import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { judge, type Reading, type ReadingChannel } from '../../../api/limits/judge.ts';
import type { Limit } from '../../../api/limits/limitSet.ts';
import { findLimitSet, LIMIT_SETS } from '../../../api/limits/limitSets.ts';
import { marginLimits } from '../../../api/limits/marginLimits.ts';
import { qualityFloor } from '../../../api/limits/qualityFloor.ts';
import { BreachSchema } from '../../../api/schemas/common.ts';
import { MODULATIONS } from '../../../ingest/plan/channelPlan.ts';

const input = findLimitSet('distribution-input')!;
const guide = findLimitSet('federal-guide')!;
const fcc = findLimitSet('fcc-analogue')!;

function channel(
  freqMhz: number,
  levelDbmv: number | null,
  extra: Partial<ReadingChannel> = {},
): ReadingChannel {
  return {
    channel: String(freqMhz),
    freqMhz,
    modulation: 'qam256',
    levelDbmv,
    merDb: 40,
    cnrDb: null,
    ...extra,
  };
}

function reading(channels: ReadingChannel[], extra: Partial<Reading> = {}): Reading {
  return { channels, tiltDb: 0, flatnessDb: 1, ...extra };
}

describe('judge', () => {
  test('finds nothing wrong with a flat feed of 20 dBmV and 40 dB', () => {
    expect(judge(input, reading([channel(57, 20), channel(63, 20.4)]))).toEqual([]);
  });

  test('reports each miss with channel, value, limit, unit, source and effect', () => {
    expect(judge(input, reading([channel(57, 16.5)]))).toEqual([
      {
        quantity: 'level',
        channel: '57',
        freqMhz: 57,
        value: 16.5,
        limit: 'at least 17 dBmV',
        unit: 'dBmV',
        source: 'common practice, no source (distribution input)',
        effect: 'agreed',
      },
    ]);
  });

  test('holds each modulation to its own MER, and analogue channels to CNR', () => {
    const channels = [
      channel(57, 20, { modulation: 'qam64', merDb: 26 }),
      channel(63, 20, { modulation: 'qam256', merDb: 34 }),
      channel(69, 5, { modulation: 'analogue', merDb: null, cnrDb: 42 }),
    ];
    const missed = judge(findLimitSet('scte-40')!, reading(channels)).filter(
      ({ quantity }) => quantity !== 'level',
    );
    expect(missed.map(({ quantity, channel, limit }) => [quantity, channel, limit])).toEqual([
      ['mer', '57', 'at least 27 dB'],
      ['cnr', '69', 'at least 43 dB'],
    ]);
  });

  test('reports what receivers need where the set is silent', () => {
    const [missed] = judge(guide, reading([channel(57, 8, { merDb: 29 })]));
    expect(missed).toMatchObject({ quantity: 'mer', limit: 'at least 30 dB', effect: 'service' });
    expect(missed?.source).toContain('after DOCSIS');
  });

  test('takes limits as inclusive, to the resolution of a reading', () => {
    expect(judge(guide, reading([channel(57, 3), channel(69, 12)]))).toEqual([]);
    expect(judge(guide, reading([channel(57, 2.996)]))).toEqual([]);
    expect(judge(guide, reading([channel(57, 2.99)]))).toHaveLength(1);
  });

  test('compares neighbours of one modulation only, and names the upper one', () => {
    const analogue = { modulation: 'analogue', merDb: null, cnrDb: 50 } as const;
    const channels = [channel(57, 11, analogue), channel(63, 11, analogue), channel(69, 5), channel(75, 8.1)];
    const missed = judge(guide, reading(channels));
    expect(missed).toMatchObject([{ quantity: 'adjacent', channel: '75', limit: 'at most 3 dB' }]);
    expect(missed[0]?.value).toBeCloseTo(3.1, 9);
  });

  test('does not compare over a gap', () => {
    expect(judge(guide, reading([channel(57, 11), channel(69, 5)]))).toEqual([]);
  });

  // Published: 47 CFR 76.605(a)(4)(ii), after: 10 dB up to 300 MHz, 1 dB more for each further 100 MHz.
  test.each([
    [295, 10.5, true],
    [300, 10, false],
    [301, 10.5, false],
    [451, 12, false],
    [451, 12.2, true],
    [950, 17.5, true],
  ])('with a top channel at %d MHz a spread of %d dB is a breach: %s', (topMhz, spreadDb, breach) => {
    const analogue = { modulation: 'analogue', merDb: null, cnrDb: 50 } as const;
    const channels = [channel(57, 2, analogue), channel(topMhz, 2 + spreadDb, analogue)];
    const missed = judge(fcc, reading(channels)).filter(({ quantity }) => quantity === 'spread');
    expect(missed.length).toBe(breach ? 1 : 0);
  });

  test('takes the top channel of the whole feed, digital ones too', () => {
    const analogue = { modulation: 'analogue', merDb: null, cnrDb: 50 } as const;
    const channels = [channel(57, 2, analogue), channel(295, 13, analogue), channel(549, 5)];
    expect(judge(fcc, reading(channels)).filter(({ quantity }) => quantity === 'spread')).toEqual([]);
  });

  test('judges tilt and flatness of the sweep as a whole', () => {
    const missed = judge(input, reading([channel(57, 20)], { tiltDb: -3.5, flatnessDb: 7 }));
    expect(missed.map(({ quantity, channel, limit }) => [quantity, channel, limit])).toEqual([
      ['tilt', null, 'at least −3 dB'],
      ['flatness', null, 'at most 6 dB'],
    ]);
  });

  test('cannot say of what was not measured, or of carriers outside the plan', () => {
    const unknown = channel(57, -30, { channel: null, modulation: null, merDb: 3 });
    const channels = [unknown, channel(63, null, { merDb: null })];
    expect(judge(input, reading(channels, { tiltDb: null, flatnessDb: null }))).toEqual([]);
  });

  test('a MER breach is a negative margin and nothing else, in every set; breaches fit the schema', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...LIMIT_SETS),
        fc.constantFrom(...MODULATIONS),
        fc.integer({ min: 1000, max: 5000 }),
        (set, modulation, cdb) => {
          const quality = cdb / 100;
          const one = channel(57, null, { modulation, merDb: quality, cnrDb: quality });
          const missed = judge(set, reading([one], { tiltDb: null, flatnessDb: null }));
          expect(missed.length > 0).toBe(quality < qualityFloor(set, modulation)!.min);
          for (const breach of missed) expect(BreachSchema.parse(breach)).toEqual(breach);
        },
      ),
      { numRuns: 500 },
    );
  });
});

describe('marginLimits', () => {
  test('gives the trend engine windows for level, tilt and flatness, and zero for margin', () => {
    expect(marginLimits(input, 'qam256')).toEqual([
      { name: 'level 17 to 23 dBmV', metric: 'level', min: 17, max: 23 },
      { name: 'tilt -3 to 3 dB', metric: 'tilt', min: -3, max: 3 },
      { name: 'flatness at most 6 dB', metric: 'flatness', min: null, max: 6 },
      { name: 'MER or CNR margin at least 0 dB', metric: 'mer', min: 0, max: null },
    ]);
  });

  test('leaves out what a set does not limit', () => {
    expect(marginLimits(findLimitSet('in-building-line')!, 'qam256').map(({ metric }) => metric)).toEqual([
      'mer',
    ]);
  });

  test('leaves out a limit that a person lifted', () => {
    const lifted: Limit = {
      quantity: 'tilt',
      unit: 'dB',
      effect: 'agreed',
      source: 'short run',
      sureness: 'own',
    };
    expect(marginLimits({ limits: [lifted] }, 'qam256').map(({ metric }) => metric)).toEqual(['mer']);
  });
});
