import { describe, expect, test } from 'vitest';
import { ORDINARY_CLIMATE, ORDINARY_METER } from '../../../seed/simulator/defaults.ts';
import type { HopElement } from '../../../seed/simulator/plant.ts';
import { createSimulator } from '../../../seed/simulator/simulator.ts';
import { cable, DAY_MS, fault, ONSET_MS, stillBuilding } from './buildings.ts';

const HOUR_MS = 3_600_000;

describe('createSimulator(site)', () => {
  const noisy = stillBuilding({ meter: ORDINARY_METER });

  test('gives the same sweeps for the same description, asked in any order', () => {
    const times = Array.from({ length: 50 }, (_, index) => ONSET_MS + index * HOUR_MS);
    const forwards = createSimulator(noisy);
    const backwards = createSimulator(structuredClone(noisy));
    const one = times.map((atMs) => forwards.sweep('outlet', atMs));
    const other = times.toReversed().map((atMs) => backwards.sweep('outlet', atMs));
    expect(other.toReversed()).toEqual(one);
  });

  test('gives other sweeps for another seed', () => {
    const other = createSimulator({ ...noisy, seed: 2 });
    expect(other.sweep('outlet', ONSET_MS)).not.toEqual(createSimulator(noisy).sweep('outlet', ONSET_MS));
  });

  test('names the points there are when asked for one that is not', () => {
    expect(() => createSimulator(noisy).sweep('attic', 0)).toThrow(/no point "attic".*handoff/);
  });

  test('hands over 20 dBmV, flat', () => {
    const { levelDbmv } = createSimulator(stillBuilding()).sweep('handoff', ONSET_MS)!;
    const mean = levelDbmv.reduce<number>((sum, level) => sum + level!, 0) / levelDbmv.length;
    expect(Math.abs(mean - 20)).toBeLessThan(1.2);
    for (const level of levelDbmv) expect(Math.abs(level! - mean)).toBeLessThan(2);
  });
});

describe('an ordinary instrument', () => {
  const simulator = createSimulator(stillBuilding({ meter: ORDINARY_METER }));
  const times = Array.from({ length: 6000 }, (_, index) => ONSET_MS + index * 900_000);
  const sweeps = times.map((atMs) => simulator.sweep('outlet', atMs));
  const tame = sweeps.filter((sweep, index) => sweep && !simulator.isWild('outlet', times[index]!));

  test('repeats a channel within 0.2 to 0.3 dB', () => {
    const readings = tame.flatMap((sweep) => channelLevel(sweep!, 40));
    expect(deviation(readings)).toBeGreaterThan(0.2);
    expect(deviation(readings)).toBeLessThan(0.3);
  });

  test('errs alike from sweep to sweep, with a correlation near 0.6', () => {
    const levels = sweeps.map((sweep, index) =>
      sweep && !simulator.isWild('outlet', times[index]!) ? meanLevel(sweep) : null,
    );
    expect(Math.abs(lagOneCorrelation(levels) - 0.6)).toBeLessThan(0.06);
  });

  test('misses one sweep in twenty and is wild three times in a thousand', () => {
    const missing = sweeps.filter((sweep) => sweep === null).length / sweeps.length;
    const wild = times.filter((atMs) => simulator.isWild('outlet', atMs)).length / times.length;
    expect(Math.abs(missing - 0.05)).toBeLessThan(0.01);
    expect(Math.abs(wild - 0.003)).toBeLessThan(0.0022);
  });

  test('shows no more MER than its ceiling', () => {
    const mers = tame.flatMap((sweep) => sweep!.merDb!).filter((mer) => mer !== null);
    const mean = mers.reduce((sum, mer) => sum + mer, 0) / mers.length;
    expect(mean).toBeGreaterThan(38);
    expect(mean).toBeLessThan(41);
  });

  test('skips a reading now and then and says so with null', () => {
    const readings = tame.flatMap((sweep) => sweep!.levelDbmv);
    const skipped = readings.filter((level) => level === null).length / readings.length;
    expect(skipped).toBeGreaterThan(0.0002);
    expect(skipped).toBeLessThan(0.001);
  });

  test('that is replaced brings its own name and bias and changes nothing else', () => {
    const [first] = stillBuilding().instruments;
    const swapped = stillBuilding({
      instruments: [first!, { ...first!, instrument: 'probe-2', fromMs: ONSET_MS, levelBiasDb: -0.9 }],
    });
    const before = createSimulator(swapped).sweep('outlet', ONSET_MS - 1)!;
    const after = createSimulator(swapped).sweep('outlet', ONSET_MS)!;
    expect([before.instrument, after.instrument]).toEqual(['probe-1', 'probe-2']);
    expect(meanLevel(after) - meanLevel(before)).toBeCloseTo(-0.9, 2);
    expect(after.merDb).toEqual(before.merDb);
  });
});

describe('cable loss', () => {
  /** Change in the highest channel at the outlet when the whole year is `warmerC` warmer. */
  function changeDb(hop: readonly HopElement[], warmerC: number): number {
    const site = stillBuilding();
    const points = site.points.map((point) => (point.name === 'outlet' ? { ...point, hop } : point));
    const topDbmv = (meanC: number) =>
      createSimulator({
        ...site,
        points,
        climate: { ...site.climate, meanC },
        feed: { ...site.feed, temperatureDbPerC: 0 },
      })
        .sweep('outlet', ONSET_MS)!
        .levelDbmv.at(-1)!;
    return topDbmv(20 + warmerC) - topDbmv(20);
  }

  test('outdoors follows the weather by 0.2 % for each °C', () => {
    const outdoor: HopElement = { kind: 'cable', type: 'series6', metres: 100, surroundings: 'outdoor' };
    const lossDb = 21.4;
    expect(changeDb([outdoor], 20)).toBeCloseTo(-lossDb * 0.002 * 20, 1);
  });

  test('in a conditioned room hardly follows it', () => {
    expect(Math.abs(changeDb([cable(100)], 20))).toBeLessThan(0.1);
  });

  test('under a hot roof swings level and tilt every day', () => {
    const hot: HopElement = { kind: 'cable', type: 'series6', metres: 70, surroundings: 'hot ceiling' };
    const site = stillBuilding({ climate: ORDINARY_CLIMATE });
    const points = site.points.map((point) => (point.name === 'outlet' ? { ...point, hop: [hot] } : point));
    const simulator = createSimulator({ ...site, points });
    const summerMs = Date.UTC(2026, 6, 10, 9);
    const tops = Array.from(
      { length: 24 },
      (_, hour) => simulator.sweep('outlet', summerMs + hour * HOUR_MS)!.levelDbmv.at(-1)!,
    );
    expect(Math.max(...tops) - Math.min(...tops)).toBeGreaterThan(0.5);
  });
});

describe('gear that corrects itself', () => {
  const gear: HopElement = {
    kind: 'self-correcting',
    outputDbmv: 36,
    outputTiltDb: 8,
    noiseFigureDb: 9,
    windowDb: 4,
  };
  const site = stillBuilding();
  const points = [site.points[0]!, { ...site.points[1]!, hop: [gear] }, site.points[2]!];

  /** Change of level at the gear's output, and of MER, when the feed falls by `dropDb`. */
  function whenFeedFalls(dropDb: number): { levelDb: number; merDb: number } {
    const faults = [fault({ kind: 'flat' }, -dropDb, 0, 'provider')];
    const simulator = createSimulator({ ...site, points, faults });
    const before = simulator.sweep('amplifier', ONSET_MS - 1)!;
    const after = simulator.sweep('amplifier', ONSET_MS)!;
    return {
      levelDb: meanLevel(after) - meanLevel(before),
      merDb: after.merDb![60]! - before.merDb![60]!,
    };
  }

  test('hides a loss within its window, though MER falls a little', () => {
    const change = whenFeedFalls(3);
    expect(Math.abs(change.levelDb)).toBeLessThan(0.01);
    expect(change.merDb).toBeLessThan(0);
  });

  test('lets through what lies beyond its window', () => {
    expect(whenFeedFalls(7).levelDb).toBeCloseTo(-3, 1);
  });
});

describe('a line-up change', () => {
  test('changes which carriers are there and nothing about those that stay', () => {
    const channels = stillBuilding().lineUps[0]!.channels;
    const analogue = channels.map((channel, index) =>
      index < 5 ? { ...channel, modulation: 'analogue' as const } : channel,
    );
    const site = stillBuilding({
      lineUps: [
        { effectiveFromMs: 0, channels: analogue },
        { effectiveFromMs: ONSET_MS + DAY_MS, channels: channels.slice(5) },
      ],
    });
    const simulator = createSimulator(site);
    const before = simulator.sweep('outlet', ONSET_MS)!;
    const after = simulator.sweep('outlet', ONSET_MS + DAY_MS)!;

    expect(before.freqMhz[0]).toBeCloseTo(55.25, 3);
    expect(before.levelDbmv[0]! - before.levelDbmv[8]!).toBeGreaterThan(3);
    expect(before.merDb!.slice(0, 6).map((mer) => mer === null)).toEqual([
      true,
      true,
      true,
      true,
      true,
      false,
    ]);
    expect(before.cnrDb!.filter((cnr) => cnr !== null)).toHaveLength(5);
    expect(after.freqMhz).toEqual(before.freqMhz.slice(5));
    expect(after.levelDbmv).toEqual(before.levelDbmv.slice(5));
    expect(after.cnrDb).toBeNull();
  });
});

function meanLevel({ levelDbmv }: { levelDbmv: readonly (number | null)[] }): number {
  const measured = levelDbmv.filter((level) => level !== null);
  return measured.reduce((sum, level) => sum + level, 0) / measured.length;
}

function channelLevel({ levelDbmv }: { levelDbmv: readonly (number | null)[] }, index: number): number[] {
  const level = levelDbmv[index];
  return level === null || level === undefined ? [] : [level];
}

function deviation(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
}

/** Over pairs of neighbours that are both there. */
function lagOneCorrelation(values: readonly (number | null)[]): number {
  const known = values.filter((value) => value !== null);
  const mean = known.reduce((sum, value) => sum + value, 0) / known.length;
  const products = values.flatMap((value, index) => {
    const before = values[index - 1];
    return value === null || before == null ? [] : [(value - mean) * (before - mean)];
  });
  const covariance = products.reduce((sum, product) => sum + product, 0) / products.length;
  return covariance / deviation(known) ** 2;
}
