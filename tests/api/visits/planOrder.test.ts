import { describe, expect, test } from 'vitest';
import { bestOrder } from '../../../api/visits/bestOrder.ts';
import type { DayOrder, Stop, WorkingDay } from '../../../api/visits/dayOrder.ts';
import { driveMinutes } from '../../../api/visits/driveMinutes.ts';
import { greatCircleKm } from '../../../api/visits/greatCircleKm.ts';
import { greedyOrder } from '../../../api/visits/greedyOrder.ts';
import { NOTHING, withStop } from '../../../api/visits/legs.ts';
import { planOrder } from '../../../api/visits/planOrder.ts';
import { taskMinutes } from '../../../api/visits/taskMinutes.ts';
import { seeded } from '../../web/fixtures/random.ts';

const START = { latitude: 41.2, longitude: -72.1 };

/** `count` buildings within some 25 km of the start, outlet-days of every size. */
function someStops(count: number, seed: number): Stop[] {
  const random = seeded(seed);
  return Array.from({ length: count }, (_, i) => ({
    siteId: i + 1,
    place: { latitude: 41.2 + (random() - 0.5) * 0.4, longitude: -72.1 + (random() - 0.5) * 0.5 },
    outletDays: Math.exp(6 * random()),
    minutes: 30 + Math.round(random() * 120),
  }));
}

/** Every order of every choice, without leaving anything out. */
function bruteForce(stops: readonly Stop[], day: WorkingDay, order: DayOrder = NOTHING): DayOrder {
  let best = order;
  for (const stop of stops) {
    const longer = withStop(order, stop, day);
    if (longer === null) continue;
    const found = bruteForce(
      stops.filter((other) => other !== stop),
      day,
      longer,
    );
    if (found.savedOutletDays > best.savedOutletDays) best = found;
  }
  return best;
}

/** How much of the best each method loses over `cases` random days, as a share. */
function losses(
  cases: number,
  count: number,
  method: (stops: Stop[], day: WorkingDay) => DayOrder,
): number[] {
  return Array.from({ length: cases }, (_, seed) => {
    const stops = someStops(count, seed + 1);
    const day = { start: START, minutes: 240 + 60 * (seed % 5) };
    const best = bruteForce(stops, day).savedOutletDays;
    return best === 0 ? 0 : 1 - method(stops, day).savedOutletDays / best;
  });
}

describe('bestOrder', () => {
  test('saves what brute force over every order saves, for up to seven buildings', () => {
    for (const count of [1, 2, 3, 5, 7]) {
      expect(Math.max(...losses(count === 7 ? 15 : 40, count, bestOrder))).toBeLessThan(1e-12);
    }
  });

  test('goes through nine buildings within two seconds', () => {
    const began = performance.now();
    bestOrder(someStops(9, 5), { start: START, minutes: 900 });
    expect(performance.now() - began).toBeLessThan(2000);
  });
});

describe('planOrder', () => {
  test('of more candidates than it orders exactly loses 12 % at worst and 1 % on average', () => {
    const lost = losses(60, 7, (stops, day) => planOrder(stops, day, 5));
    expect(Math.max(...lost)).toBeLessThan(0.12);
    expect(lost.reduce((sum, loss) => sum + loss, 0) / lost.length).toBeLessThan(0.01);
  });

  test('is never worse than the greedy round', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const stops = someStops(25, seed);
      const day = { start: START, minutes: 480 };
      expect(planOrder(stops, day).savedOutletDays).toBeGreaterThanOrEqual(
        greedyOrder(stops, day).savedOutletDays,
      );
    }
  });

  test('is back at the start within the working hours', () => {
    const { stops, backMinutes } = planOrder(someStops(30, 3), { start: START, minutes: 480 });
    expect(stops.length).toBeGreaterThan(1);
    expect(stops.at(-1)!.leaveMinute + backMinutes).toBeLessThanOrEqual(480);
  });

  test('leaves out a building that does not fit, and goes to the pressing one first', () => {
    const [far, small, pressing] = [
      { siteId: 1, place: { latitude: 44, longitude: -72.1 }, outletDays: 900, minutes: 60 },
      { siteId: 2, place: { latitude: 41.21, longitude: -72.1 }, outletDays: 2, minutes: 60 },
      { siteId: 3, place: { latitude: 41.22, longitude: -72.1 }, outletDays: 80, minutes: 60 },
    ];
    const { stops } = planOrder([far, small, pressing], { start: START, minutes: 480 });
    expect(stops.map(({ stop }) => stop.siteId)).toEqual([3, 2]);
  });
});

describe('a drive', () => {
  test('over one degree of latitude is 111.2 km by great circle', () => {
    const km = greatCircleKm({ latitude: 41, longitude: -72 }, { latitude: 42, longitude: -72 });
    expect(km).toBeCloseTo((Math.PI / 180) * 6371.0088, 6);
  });

  test('of 40 km by road takes an hour, and five minutes to park', () => {
    const north = 40 / 1.3 / 111.195;
    const minutes = driveMinutes(START, { latitude: 41.2 + north, longitude: -72.1 });
    expect(minutes).toBeCloseTo(65, 1);
  });

  test('to a building without coordinates is taken as half an hour', () => {
    expect(driveMinutes(START, null)).toBe(30);
  });
});

test('a task takes what its cause takes, and an hour where nobody knows', () => {
  expect(taskMinutes('Water in the cable or its connectors')).toBe(90);
  expect([taskMinutes('no such cause'), taskMinutes(null)]).toEqual([60, 60]);
});
