import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { matchChannels } from '../../../ingest/plan/matchChannels.ts';
import { planFromRaster } from '../../../ingest/plan/planFromRaster.ts';
import { visualMhz } from '../../../ingest/plan/visualMhz.ts';
import { channel } from './planVersions.ts';

const matched = (freqMhz: number[], channels: ReturnType<typeof channel>[]): (string | null)[] =>
  matchChannels(freqMhz, { channels }).channels.map((found) => found?.channel ?? null);

describe('matchChannels', () => {
  test('matches digital carriers at the raster centre and at the offset one', () => {
    const plan = { channels: planFromRaster('STD', {}, { modulation: 'qam256' }) };
    const { channels } = matchChannels([57, 111, 111.025, 123, 333], plan);
    expect(channels.map((found) => found?.channel ?? null)).toEqual(['2', null, '98', '14', '42']);
  });

  test('matches up to 0.05 MHz away and no further', () => {
    const plan = [channel('3', 63)];
    expect(matched([63.05], plan)).toEqual(['3']);
    expect(matched([62.95], plan)).toEqual(['3']);
    expect(matched([63.051], plan)).toEqual([null]);
  });

  test('matches an analogue channel at its picture carrier or at its centre, a digital one at its centre only', () => {
    expect(matched([61.25], [channel('3', 63, 'analogue')])).toEqual(['3']);
    expect(matched([63], [channel('3', 63, 'analogue')])).toEqual(['3']);
    expect(matched([61.25], [channel('3', 63, 'qam256')])).toEqual([null]);
  });

  test('gives a channel to the nearest carrier and leaves a second one outside the plan', () => {
    expect(matched([62.96, 63.01], [channel('3', 63)])).toEqual([null, '3']);
  });

  test('gives every carrier inside an OFDM block to the block', () => {
    const block = channel('B1', 600, 'ofdm', { widthMhz: 96 });
    expect(matched([540, 552, 600, 648, 654], [block])).toEqual([null, 'B1', 'B1', 'B1', null]);
  });

  test('lists planned channels that no carrier was matched to', () => {
    const plan = {
      channels: [channel('2', 57), channel('3', 63), channel('B1', 600, 'ofdm', { widthMhz: 96 })],
    };
    expect(matchChannels([63, 700], plan).notLookedFor.map(({ channel }) => channel)).toEqual(['2', 'B1']);
  });

  test('finds every channel of every raster when all are read within the tolerance', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('STD' as const, 'HRC' as const, 'IRC' as const, '8 MHz' as const),
        fc.constantFrom('analogue' as const, 'qam64' as const),
        fc.double({ min: -0.05, max: 0.05, noNaN: true }),
        (raster, modulation, awayMhz) => {
          const channels = planFromRaster(raster, {}, { modulation });
          const freqMhz = channels.map((planned) =>
            modulation === 'analogue' ? visualMhz(planned) + awayMhz : planned.centreMhz + awayMhz,
          );
          const match = matchChannels(freqMhz, { channels });
          expect(match.channels).toEqual(channels);
          expect(match.notLookedFor).toEqual([]);
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('visualMhz', () => {
  // Published: 47 CFR 73.682(a)(1)-(3), read: the picture carrier lies 1.25 MHz above the lower edge of a 6 MHz channel.
  test('lies 1.75 MHz below the centre of a 6 MHz channel', () => {
    expect(visualMhz({ centreMhz: 57, widthMhz: 6 })).toBe(55.25);
  });
});
