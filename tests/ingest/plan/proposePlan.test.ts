import { describe, expect, test } from 'vitest';
import type { Modulation } from '../../../ingest/plan/channelPlan.ts';
import { planFromRaster, rasterChannels } from '../../../ingest/plan/planFromRaster.ts';
import { proposePlan } from '../../../ingest/plan/proposePlan.ts';
import type { ScannedCarrier } from '../../../ingest/plan/scannedCarrier.ts';
import { validatePlanChannels } from '../../../ingest/plan/validatePlanChannels.ts';
import { visualMhz } from '../../../ingest/plan/visualMhz.ts';
import { normalNoise } from '../../api/trend/noise.ts';

const digital = (freqMhz: number, levelDbmv = 18): ScannedCarrier => ({
  freqMhz,
  levelDbmv,
  merDb: 39,
  cnrDb: null,
});
const analogue = (freqMhz: number): ScannedCarrier => ({ freqMhz, levelDbmv: 22, merDb: null, cnrDb: 47 });
const bare = (freqMhz: number, levelDbmv = 18): ScannedCarrier => ({
  freqMhz,
  levelDbmv,
  merDb: null,
  cnrDb: null,
});
const lost = (freqMhz: number): ScannedCarrier => ({ freqMhz, levelDbmv: null, merDb: null, cnrDb: null });
const rising = (scan: readonly ScannedCarrier[]) => [...scan].sort((a, b) => a.freqMhz - b.freqMhz);
const names = (channels: readonly { channel: string }[]) => channels.map(({ channel }) => channel);

/** Every channel of a raster up to 750 MHz, as a meter of limited resolution reads it. */
function scanOf(
  raster: 'STD' | 'HRC' | 'IRC' | '8 MHz',
  seed: number,
  modulationAt: (i: number) => Modulation,
): ScannedCarrier[] {
  const normal = normalNoise(seed);
  return rasterChannels(raster)
    .filter(({ centreMhz }) => centreMhz < 750)
    .map((channel, i) => {
      const isAnalogue = modulationAt(i) === 'analogue';
      const trueMhz = isAnalogue ? visualMhz(channel) : channel.centreMhz;
      const freqMhz = Math.round((trueMhz + 0.004 * normal()) * 100) / 100;
      return {
        freqMhz,
        levelDbmv: 17 + normal() + (isAnalogue ? 6 : 0),
        merDb: isAnalogue ? null : 38 + 0.5 * normal(),
        cnrDb: isAnalogue ? 46 + 0.5 * normal() : null,
      };
    });
}

describe.each(['STD', 'HRC', 'IRC', '8 MHz'] as const)('the %s raster', (raster) => {
  test.each([
    ['digital', () => 'qam256'],
    ['mixed', (i: number) => (i % 3 === 0 ? 'analogue' : 'qam256')],
    ['analogue', () => 'analogue'],
  ] as [string, (i: number) => Modulation][])(
    'is found from a noisy %s line-up, channel by channel',
    (_, at) => {
      for (let seed = 1; seed <= 10; seed++) {
        const scan = scanOf(raster, seed, at);
        const plan = proposePlan(rising(scan))!;
        expect(plan).toMatchObject({ raster, rasterIs: 'sure', carriers: scan.length, matched: scan.length });
        expect(plan.outsideMhz).toEqual([]);
        const expected = rasterChannels(raster).slice(0, scan.length);
        expect(
          plan.channels.map(({ channel, centreMhz, modulation }) => [channel, centreMhz, modulation]),
        ).toEqual(expected.map(({ channel, centreMhz }, i) => [channel, centreMhz, at(i)]));
        expect(validatePlanChannels(plan.channels)).toEqual([]);
      }
    },
  );

  test('is found with a third of its channels gone and four strangers among the rest', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const kept = scanOf(raster, seed, () => 'qam256').filter((_, i) => (i * 7 + seed) % 3 !== 0);
      const strangers = [333.1, 401.3, 467.4, 601.7].map((mhz) => digital(mhz));
      const plan = proposePlan(rising([...kept, ...strangers]))!;
      expect(plan.raster).toBe(raster);
      expect(plan.matched).toBe(kept.length);
      expect(plan.outsideMhz).toEqual([333.1, 401.3, 467.4, 601.7]);
    }
  });
});

describe('STD and IRC', () => {
  const std = planFromRaster('STD', { fromMhz: 54, toMhz: 300 }, { modulation: 'qam256' });
  const coarse = (mhz: number) => digital(Math.round(mhz * 10) / 10);
  test('are told apart by channels 5 and 6 alone where the meter rounds, so without them the raster is a guess', () => {
    const without = std.filter(({ channel }) => channel !== '5' && channel !== '6');
    const plan = proposePlan(without.map(({ centreMhz }) => coarse(centreMhz)))!;
    expect(plan).toMatchObject({
      raster: 'STD',
      rasterIs: 'guess',
      runnerUp: { raster: 'IRC', matched: without.length },
    });
    const withOne = std.filter(({ channel }) => channel !== '6');
    expect(proposePlan(withOne.map(({ centreMhz }) => coarse(centreMhz)))).toMatchObject({
      rasterIs: 'likely',
    });
  });
});

test.each(['STD', 'IRC'] as const)(
  '%s without channels 1, 5 and 6 is likely where the meter resolves 12.5 kHz',
  (raster) => {
    const channels = rasterChannels(raster).filter(({ channel }) => !['1', '5', '6'].includes(channel));
    const plan = proposePlan(channels.map(({ centreMhz }) => digital(centreMhz)));
    expect(plan).toMatchObject({ raster, rasterIs: 'likely', matched: channels.length });
  },
);

describe('the modulation', () => {
  const scan = [analogue(55.25), digital(63), bare(67.25), bare(79), digital(85), digital(177), digital(183)];
  test('is analogue for sure where CNR was measured, likely where a carrier stands at the picture carrier', () => {
    const said = proposePlan(scan)!.channels.map((c) => [c.channel, c.modulation, c.modulationIs, c.sign]);
    expect(said.slice(0, 4)).toEqual([
      ['2', 'analogue', 'sure', 'cnr'],
      ['3', 'qam256', 'likely', 'mer'],
      ['4', 'analogue', 'likely', 'picture-carrier'],
      ['5', 'qam256', 'guess', 'none'],
    ]);
  });
});

describe('a channel that is not there', () => {
  const found = [57, 63, 69, 79, 85, 177, 183].map((mhz) => digital(mhz));
  test('is listed as lost where the meter looked in vain, and is left out of the channels', () => {
    const plan = proposePlan(rising([...found, lost(189)]))!;
    expect(plan.missing.map(({ channel, how }) => [channel, how])).toEqual([['9', 'lost']]);
    expect(names(plan.channels)).not.toContain('9');
  });
  test('is listed as empty where all that was read is noise', () => {
    const plan = proposePlan(rising([...found, bare(189, -28)]))!;
    expect(plan.missing.map(({ channel, how }) => [channel, how])).toEqual([['9', 'empty']]);
    expect(plan.carriers).toBe(found.length);
  });
  test('is not called empty for being weak: 15 dB under the others is a fault to see, not a gap', () => {
    expect(names(proposePlan(rising([...found, bare(189, 3)]))!.channels)).toContain('9');
    expect(names(proposePlan(rising([...found, digital(189, -10)]))!.channels)).toContain('9');
  });
  test('is not made of the other place of a channel that was found', () => {
    const plan = proposePlan(rising([...found, lost(55.25)]))!;
    expect(plan.missing).toEqual([]);
  });
  test('leaves a plan of nothing when no carrier was found at all', () => {
    expect(proposePlan([])).toBeNull();
    expect(proposePlan([lost(57), lost(63)])).toBeNull();
  });
});

test('carriers on no known raster make a plan of their own that is sound, and says that it is a guess', () => {
  const mhz = [113, 120, 127, 134.5, 141.7, 150.2];
  const plan = proposePlan(mhz.map((freqMhz) => digital(freqMhz)))!;
  expect(plan).toMatchObject({ raster: 'own', rasterIs: 'guess', matched: 6 });
  expect(plan.channels.map(({ centreMhz }) => centreMhz)).toEqual(mhz);
  expect(validatePlanChannels(plan.channels)).toEqual([]);
});

test('two carriers are too few to be sure of a raster', () => {
  expect(proposePlan([digital(57), digital(63)])).toMatchObject({ raster: 'STD', rasterIs: 'guess' });
});
