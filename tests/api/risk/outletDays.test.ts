import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { meanOfWorstFifth, outletDays, type PointRisk } from '../../../api/risk/outletDays.ts';
import { probabilityOutside } from '../../../api/risk/probabilityOutside.ts';
import { DAY, givenChannels, givenPoint, MINUTE, NOW } from './givenSiteFacts.ts';

const TINY = 1e-9;

function total(points: readonly PointRisk[], nowMs = NOW): number {
  return outletDays(points, nowMs).reduce((sum, part) => sum + part.outletDays, 0);
}

const margin = fc.record({
  marginDb: fc.double({ min: -6, max: 12, noNaN: true }),
  worseningDbPerDay: fc.double({ min: -0.5, max: 1, noNaN: true }),
  worseningSdDbPerDay: fc.double({ min: 0, max: 0.3, noNaN: true }),
});
const point = fc.record({
  outlets: fc.nat(60),
  intervalS: fc.constantFrom(60, 900, 3600),
  hasBaseline: fc.boolean(),
  silentDays: fc.option(fc.double({ min: 0, max: 40, noNaN: true }), { nil: null }),
  channels: fc.array(fc.record({ lost: fc.boolean(), margins: fc.array(margin, { maxLength: 2 }) }), {
    maxLength: 12,
  }),
});
/** A site of one to four points, each fed by one before it. */
const site = fc
  .tuple(fc.array(point, { minLength: 1, maxLength: 4 }), fc.array(fc.nat(), { minLength: 4, maxLength: 4 }))
  .map(([drawn, feeders]): PointRisk[] =>
    drawn.map(({ silentDays, ...rest }, i) => ({
      ...rest,
      pointId: i + 1,
      fedBy: i === 0 ? null : (feeders[i]! % i) + 1,
      lastAtMs: silentDays === null ? null : NOW - silentDays * DAY,
      dueFromMs: silentDays === null ? null : NOW - silentDays * DAY,
    })),
  );

function changed(
  points: readonly PointRisk[],
  pick: number,
  change: (point: PointRisk) => PointRisk,
): PointRisk[] {
  return points.map((each, i) => (i === pick % points.length ? change(each) : each));
}

function withMargins(
  each: PointRisk,
  change: (margin: PointRisk['channels'][number]['margins'][number]) => object,
): PointRisk {
  return {
    ...each,
    channels: each.channels.map((channel) => ({
      ...channel,
      margins: channel.margins.map((limit) => ({ ...limit, ...change(limit) })),
    })),
  };
}

describe('outletDays never falls', () => {
  const amount = fc.double({ min: 0, max: 20, noNaN: true });

  test('when a point stays silent for longer', () => {
    fc.assert(
      fc.property(site, fc.nat(), amount, (points, pick, daysMore) => {
        const longer = changed(points, pick, (each) => ({
          ...each,
          lastAtMs: each.lastAtMs === null ? null : each.lastAtMs - daysMore * DAY,
          dueFromMs: each.dueFromMs === null ? null : each.dueFromMs - daysMore * DAY,
        }));
        expect(total(longer)).toBeGreaterThanOrEqual(total(points) - TINY);
      }),
      { numRuns: 500 },
    );
  });

  test('as time passes without sweeps', () => {
    fc.assert(
      fc.property(site, amount, (points, daysMore) => {
        expect(total(points, NOW + daysMore * DAY)).toBeGreaterThanOrEqual(total(points) - TINY);
      }),
      { numRuns: 500 },
    );
  });

  test('when a margin shrinks faster', () => {
    fc.assert(
      fc.property(site, fc.nat(), amount, (points, pick, faster) => {
        const steeper = changed(points, pick, (each) =>
          withMargins(each, (limit) => ({ worseningDbPerDay: limit.worseningDbPerDay + faster / 10 })),
        );
        expect(total(steeper)).toBeGreaterThanOrEqual(total(points) - TINY);
      }),
      { numRuns: 500 },
    );
  });

  test('when less margin is left', () => {
    fc.assert(
      fc.property(site, fc.nat(), amount, (points, pick, less) => {
        const nearer = changed(points, pick, (each) =>
          withMargins(each, (limit) => ({ marginDb: limit.marginDb - less })),
        );
        expect(total(nearer)).toBeGreaterThanOrEqual(total(points) - TINY);
      }),
      { numRuns: 500 },
    );
  });

  test('when more outlets hang on a point, or a channel is lost', () => {
    fc.assert(
      fc.property(site, fc.nat(), fc.nat(50), (points, pick, more) => {
        const larger = changed(points, pick, (each) => ({ ...each, outlets: each.outlets + more }));
        const poorer = changed(points, pick, (each) => ({
          ...each,
          channels: each.channels.map((channel, i) => (i === 0 ? { ...channel, lost: true } : channel)),
        }));
        expect(total(larger)).toBeGreaterThanOrEqual(total(points) - TINY);
        expect(total(poorer)).toBeGreaterThanOrEqual(total(points) - TINY);
      }),
      { numRuns: 500 },
    );
  });
});

test('outletDays lies between nothing and every outlet on every day', () => {
  fc.assert(
    fc.property(site, (points) => {
      const outlets = points.reduce((sum, each) => sum + each.outlets, 0);
      expect(total(points)).toBeGreaterThanOrEqual(0);
      expect(total(points)).toBeLessThanOrEqual(14 * outlets + TINY);
    }),
  );
});

describe('outletDays', () => {
  const steady = givenPoint({ outlets: 10 });

  test('is next to nothing for a healthy point that reports', () => {
    expect(total([steady])).toBeLessThan(0.01);
  });

  test('is every outlet on every day when all channels are lost', () => {
    const dark = givenPoint({
      outlets: 10,
      channels: givenChannels().map((each) => ({ ...each, lost: true })),
    });
    expect(total([dark])).toBeCloseTo(140, 6);
  });

  test('counts one lost channel of eighty as a sixteenth of the service', () => {
    const channels = givenChannels().map((each, i) => ({ ...each, lost: i === 7 }));
    expect(total([givenPoint({ outlets: 16, channels })])).toBeCloseTo(14, 1);
  });

  test('counts a fault at the handoff once for each outlet below it', () => {
    const broken = givenChannels({ marginDb: -5 });
    const handoff = givenPoint({ channels: broken });
    const below = [2, 3].map((pointId) => givenPoint({ pointId, fedBy: 1, outlets: 10, channels: broken }));
    expect(total([handoff, ...below])).toBeCloseTo(14 * 20, 6);
  });

  test('reaches half a chance on the day that a certain drift uses up its margin', () => {
    expect(
      probabilityOutside({ marginDb: 1, worseningDbPerDay: 0.1, worseningSdDbPerDay: 0 }, 10),
    ).toBeCloseTo(0.5, 12);
  });

  test('grows with silence towards a fifth of all outlet-days, on top of what the limits say', () => {
    const silentFor = (days: number) => total([givenPoint({ outlets: 10, lastAtMs: NOW - days * DAY })]);
    expect(silentFor(1)).toBeGreaterThan(10);
    expect(silentFor(3)).toBeGreaterThan(silentFor(1));
    expect(silentFor(12)).toBeLessThan(0.21 * 140);
  });

  test('takes no silence for an outage while a point below still reports', () => {
    const handoff = givenPoint({ outlets: 10, lastAtMs: NOW - 3 * DAY });
    const below = givenPoint({ pointId: 2, fedBy: 1, outlets: 10, lastAtMs: NOW - 5 * MINUTE });
    expect(total([handoff, below])).toBeLessThan(0.1);
  });

  test('gives outlets without a baseline a chance of 1 % a day', () => {
    expect(
      total([givenPoint({ outlets: 10, hasBaseline: false, lastAtMs: null, channels: [] })]),
    ).toBeCloseTo(1.4, 12);
  });
});

test('meanOfWorstFifth takes the part of a value that falls inside the fifth', () => {
  expect(meanOfWorstFifth([0, 1, 0, 0.5, 0, 0, 0, 0, 0, 0])).toBeCloseTo(0.75, 12);
  expect(meanOfWorstFifth([1, 0.5, 0, 0, 0, 0, 0])).toBeCloseTo((1 + 0.4 * 0.5) / 1.4, 12);
  expect(meanOfWorstFifth([0.3])).toBe(0.3);
  expect(meanOfWorstFifth([])).toBe(0);
});
