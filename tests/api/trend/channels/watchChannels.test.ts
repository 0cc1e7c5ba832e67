import { describe, expect, test } from 'vitest';
import type { ChannelTrend } from '../../../../api/trend/channels/channelTrend.ts';
import { effectAt } from '../../../../api/trend/channels/effectAt.ts';
import { emptyChannels, resetChannels } from '../../../../api/trend/channels/emptyChannels.ts';
import { watchChannels } from '../../../../api/trend/channels/watchChannels.ts';
import { uniformAt } from '../../../../seed/simulator/random.ts';
import { addEcho, addNotch, EIGHTY, type RestScenario, simulateRests } from './simulateRests.ts';
import { dayOf, watch } from './watch.ts';

type Add = NonNullable<RestScenario['level']>;

/** A change from `day` on, by the days gone since. */
const from =
  (day: number, change: (days: number) => (db: Float64Array, freqMhz: readonly number[]) => void): Add =>
  (db, freqMhz, now) => {
    if (now > day) change(now - day)(db, freqMhz);
  };
const onChannels =
  (places: readonly number[], sizeDb: number) =>
  (db: Float64Array): void => {
    for (const place of places) db[place]! += sizeDb;
  };

describe('a growing suck-out', () => {
  const growing = from(15, (days) => addNotch(300, 30, -0.2 * days));
  const { first, last, told, trend } = watch({ seed: 1, days: 27, level: growing });

  test('is one conclusion from beginning to end', () => {
    expect(last).toHaveLength(1);
    expect(last[0]!.shape.kind).toBe('notch');
    expect(told).toBeLessThan(20);
  });

  test('is told with an estimated onset, not the day it was found', () => {
    const [found] = first;
    expect(dayOf(found!.detectedMs)).toBeGreaterThan(15);
    expect(dayOf(found!.detectedMs)).toBeLessThan(17);
    expect(dayOf(last[0]!.onsetMs.low)).toBeLessThan(15.1);
    expect(dayOf(last[0]!.onsetMs.high)).toBeGreaterThan(14.9);
  });

  test('has its place, depth and slope', () => {
    const open = trend.conclusions[0]!;
    expect(open.centreMhz!.value).toBeCloseTo(300, 0);
    expect(Math.abs(open.widthMhz!.value - 30)).toBeLessThan(1.5);
    expect(Math.abs(open.slopeDbPerDay!.value + 0.2)).toBeLessThan(0.01);
    expect(Math.abs(open.sizeDb.value + 0.2 * (dayOf(open.sizedMs) - 15))).toBeLessThan(0.08);
  });

  test('ends once it is mended', () => {
    const mended: Add = (db, freqMhz, day) => day < 22 && growing(db, freqMhz, day);
    const { last: ended, trend: after } = watch({ seed: 2, days: 26, level: mended });
    expect(ended).toHaveLength(1);
    expect(dayOf(ended[0]!.closedMs!)).toBeGreaterThan(22);
    expect(dayOf(ended[0]!.closedMs!)).toBeLessThan(23);
    expect(after.conclusions).toHaveLength(0);
  });
});

describe('an echo', () => {
  test('is told with its ripple, its delay and the delays that look the same', () => {
    const { first, last } = watch({ seed: 3, days: 18, level: from(15, () => addEcho(40, 0.6)) });
    expect(first).toHaveLength(1);
    expect(dayOf(first[0]!.detectedMs)).toBeLessThan(15.05);
    expect(last[0]!.sizeDb.low).toBeLessThan(0.6);
    expect(last[0]!.sizeDb.high).toBeGreaterThan(0.6);
    expect(last[0]!.delayNs!.value).toBeCloseTo(40, 0);
    expect(last[0]!.otherDelaysNs[0]).toBeCloseTo(1000 / 6 - last[0]!.delayNs!.value, 1);
  });

  test('and a suck-out elsewhere are two conclusions', () => {
    const notch = from(15, (days) => addNotch(447, 30, -0.3 * days));
    const echo = from(17, () => addEcho(30, 0.8));
    const level: Add = (db, freqMhz, day) => {
      notch(db, freqMhz, day);
      echo(db, freqMhz, day);
    };
    const { last } = watch({ seed: 4, days: 21, level });
    expect(last.map(({ shape }) => shape.kind)).toEqual(['notch', 'ripple']);
  });
});

describe('channels against the others', () => {
  test('one that rose by 1 dB is named, and let go when it is back', () => {
    const level: Add = (db, _, day) => day > 15 && day < 17 && onChannels([33], 1)(db);
    const { last } = watch({ seed: 5, days: 19, level });
    expect(last).toHaveLength(1);
    expect(last[0]!.shape).toEqual({ kind: 'channel-shift', channels: [String(EIGHTY[33])] });
    expect(dayOf(last[0]!.closedMs!)).toBeLessThan(17.3);
  });

  test('a group that lost 1.5 dB of MER is named', () => {
    const { last } = watch({ seed: 6, days: 17, mer: from(15, () => onChannels([50, 51, 52, 53], -1.5)) });
    expect(last).toHaveLength(1);
    expect(last[0]!.metric).toBe('mer');
    expect(last[0]!.shape).toEqual({
      kind: 'channel-shift',
      channels: [50, 51, 52, 53].map((place) => String(EIGHTY[place])),
    });
    expect(Math.abs(last[0]!.sizeDb.value + 1.5)).toBeLessThan(0.5);
  });
});

describe('nothing is said', () => {
  test.each<[string, Partial<RestScenario>]>([
    ['of a falling low end', { level: from(12, (days) => byFrequency(lowEnd(Math.min(5, days)))) }],
    ['of cable loss', { level: from(12, () => byFrequency((f) => -6 * Math.sqrt(f / 1000))) }],
    ['of a leftover of temperature', { leftoverDb: 0.1 }],
    ['of a quiet meter', { levelNoiseDb: 0.1, leftoverDb: 0.1 }],
    ['of a noisy meter', { levelNoiseDb: 0.5 }],
    ['of noise that grows along the band', { mer: from(12, () => byFrequency((f) => -4 * (f / 531) ** 4)) }],
  ])('%s', (_, scenario) => {
    expect(watch({ seed: 7, days: 20, ...scenario }).told).toBe(0);
  });

  test('of a single wild sweep', () => {
    let wild = 0;
    const level: Add = (db, freqMhz, day) => {
      if (day < 15 || wild > 0) return;
      wild++;
      addNotch(300, 30, -3)(db, freqMhz);
    };
    expect(watch({ seed: 8, days: 18, level }).told).toBe(0);
  });

  test('when another instrument reads every channel a little differently', () => {
    const biasDb = EIGHTY.map((_, i) => 0.4 * (uniformAt(99, i) - 0.5));
    const bias: Add = (db, _, day) => {
      if (day > 15) for (let i = 0; i < db.length; i++) db[i]! += biasDb[i]!;
    };
    let isSwapped = false;
    const { told, trend } = watch({ seed: 9, days: 30, level: bias }, (trend, day) => {
      if (day > 15 && !isSwapped) {
        isSwapped = true;
        resetChannels(trend);
      }
      return trend;
    });
    expect(told).toBe(0);
    expect(trend.level.normalSweeps).toBeGreaterThan(200);
  });
});

test('a suck-out that has been found goes on through a change of instrument', () => {
  let isSwapped = false;
  const level = from(12, () => addNotch(300, 30, -1));
  const { last, trend } = watch({ seed: 10, days: 22, level }, (state, day) => {
    if (day > 16 && !isSwapped) {
      isSwapped = true;
      resetChannels(state);
    }
    return state;
  });
  expect(last).toHaveLength(1);
  expect(trend.conclusions[0]!.sizeDb.value).toBeCloseTo(-1, 1);
});

test('the state is small, and going through JSON changes nothing', () => {
  const level = from(15, (days) => addNotch(300, 30, -0.2 * days));
  const straight = watch({ seed: 11, days: 20, level });
  const stored = watch({ seed: 11, days: 20, level }, (trend) => JSON.parse(JSON.stringify(trend)));
  expect(stored.trend).toEqual(JSON.parse(JSON.stringify(straight.trend)));
  expect(stored.last).toEqual(straight.last);
  const quiet = watch({ seed: 12, days: 20 });
  expect(JSON.stringify(quiet.trend).length).toBeLessThan(3600);
  expect(JSON.stringify(straight.trend).length).toBeLessThan(6200);
});

test('another point shows as much of a suck-out as reaches it', () => {
  const at = (seed: number, share: number) =>
    watch({ seed, days: 19, level: from(15, (days) => addNotch(300, 30, -0.2 * share * days)) }).trend;
  const conclusion = at(13, 1).conclusions[0]!;
  const below = effectAt(at(14, 1), conclusion)!;
  const aside = effectAt(at(15, 0), conclusion)!;
  expect(Math.abs(below.sizeDb + 0.8)).toBeLessThan(Math.max(0.06, 3 * below.errorDb));
  expect(Math.abs(aside.sizeDb)).toBeLessThan(3 * aside.errorDb);
  expect(aside.errorDb).toBeLessThan(0.05);
  expect(effectAt(emptyChannels(), conclusion)).toBeNull();
});

test('another point shows a fresh echo in the sweeps since', () => {
  const run = (seed: number, delayNs: number | null): ChannelTrend => {
    const trend = emptyChannels();
    const level = from(15, () => (delayNs === null ? () => undefined : addEcho(delayNs, 0.8)));
    for (const reading of simulateRests({ seed, days: 15.04, level })) watchChannels(trend, reading);
    return trend;
  };
  const conclusion = run(16, 40).conclusions[0]!;
  const shown = effectAt(run(17, 40), conclusion)!;
  const quiet = effectAt(run(18, null), conclusion)!;
  expect(shown.sizeDb).toBeGreaterThan(0.4);
  expect(Math.abs(quiet.sizeDb)).toBeLessThan(4 * quiet.errorDb);
});

test('a plan with other channels keeps what is known of those that stay', () => {
  const trend = emptyChannels();
  for (const reading of simulateRests({ seed: 19, days: 12 })) watchChannels(trend, reading);
  const fewer = EIGHTY.slice(10);
  const after = simulateRests({
    seed: 20,
    days: 16,
    freqMhz: fewer,
    level: from(13, () => addNotch(300, 30, -1)),
  });
  const told = [...after]
    .filter(({ atMs }) => dayOf(atMs) > 12)
    .flatMap((reading) => watchChannels(trend, reading).changed);
  expect(told.map(({ number }) => number)).toContain(1);
  expect(new Set(told.map(({ number }) => number)).size).toBe(1);
  expect(dayOf(told[0]!.detectedMs)).toBeLessThan(13.1);
});

function byFrequency(changeDb: (freqMhz: number) => number) {
  return (db: Float64Array, freqMhz: readonly number[]) => {
    for (let i = 0; i < db.length; i++) db[i]! += changeDb(freqMhz[i]!);
  };
}

/** A bad contact in series, as a capacitor: 10·log10(1 + (fc/f)²), by its loss at 54 MHz. */
function lowEnd(lossDb: number): (freqMhz: number) => number {
  const cornerSquared = 54 ** 2 * (10 ** (lossDb / 10) - 1);
  return (freqMhz) => -10 * Math.log10(1 + cornerSquared / freqMhz ** 2);
}
