import { describe, expect, test } from 'vitest';
import type { Sweep } from '../../../ingest/sweep.ts';
import { demoFleet } from '../../../seed/fleet/demoFleet.ts';
import { describeHop } from '../../../seed/fleet/layouts.ts';
import { demoPlans, LINE_UP_CHANGE_DAYS_AGO } from '../../../seed/fleet/plans.ts';
import { ROSTER } from '../../../seed/fleet/roster.ts';
import { SCENARIOS } from '../../../seed/scenarios/index.ts';
import { createSimulator, type Simulator } from '../../../seed/simulator/simulator.ts';
import { demoTruth } from '../../../seed/truth.ts';

const DAY_MS = 86_400_000;
const ORIGIN_MS = Date.UTC(2026, 2, 1, 12);
const fleet = demoFleet(ORIGIN_MS);

describe('the demo fleet', () => {
  test('is at least 40 buildings of three providers, each with 2 to 5 points', () => {
    expect(fleet.length).toBeGreaterThanOrEqual(40);
    expect(new Set(fleet.map(({ provider }) => provider)).size).toBe(3);
    for (const { points } of fleet) {
      expect(points.length).toBeGreaterThanOrEqual(2);
      expect(points.length).toBeLessThanOrEqual(5);
    }
  });

  test('names every building once and counts every outlet once', () => {
    expect(new Set(fleet.map(({ name }) => name)).size).toBe(fleet.length);
    for (const { outlets, points } of fleet) {
      expect(points.reduce((sum, point) => sum + point.outlets, 0)).toBe(outlets);
    }
  });

  test('leaves most buildings without a fault', () => {
    const told = new Set(SCENARIOS.filter(({ isFault }) => isFault).flatMap(({ sites }) => sites));
    expect(told.size).toBeLessThan(fleet.length / 2);
  });

  test('carries 50 to 80 channels, each with the number that viewers dial', () => {
    for (const { simulated } of fleet) {
      for (const { channels } of simulated.lineUps) {
        expect(channels.length).toBeGreaterThanOrEqual(50);
        expect(channels.length).toBeLessThanOrEqual(80);
        for (const { services } of channels) expect(services.length).toBeGreaterThan(0);
      }
    }
  });

  test('has one plan that changes within the history', () => {
    const { northmere } = demoPlans(ORIGIN_MS);
    expect(northmere.versions).toHaveLength(2);
    expect(northmere.versions[1]!.effectiveFromMs).toBe(ORIGIN_MS - LINE_UP_CHANGE_DAYS_AGO * DAY_MS);
    expect(LINE_UP_CHANGE_DAYS_AGO).toBeLessThan(120);
  });

  test('says in words what lies in a hop', () => {
    const hotel = fleet.find(({ name }) => name === 'Camp Hollin Barracks')!;
    const farAmplifier = hotel.points.find(({ name }) => name === 'far-amp')!;
    expect(describeHop(farAmplifier.hop)).toMatch(/^\d+ m of series 11 cable, outdoors, amplifier$/);
  });

  test.each(fleet.map((site) => [site.name, site] as const))(
    '%s starts within the levels that a good installation has',
    (_, { points, simulated }) => {
      const simulator = createSimulator({ ...simulated, faults: [] });
      for (const point of points) {
        const sweep = firstTameSweep(simulator, point.name);
        const measured = sweep.levelDbmv.filter((level) => level !== null);
        const levels = measured.toSorted((a, b) => a - b);
        const middle = levels[levels.length >> 1]!;
        if (point.kind === 'outlet') {
          expect(levels[0]).toBeGreaterThan(3);
          expect(levels.at(-1)).toBeLessThan(17);
        }
        if (point.kind === 'handoff') expect(Math.abs(middle - 20)).toBeLessThan(2);
      }
    },
  );
});

describe('the stories', () => {
  test('speak of buildings and points that exist, and of one fault story a building', () => {
    const told: string[] = [];
    for (const { sites, faults = [], isFault } of SCENARIOS) {
      for (const name of sites) {
        const site = fleet.find((candidate) => candidate.name === name);
        expect(site, name).toBeDefined();
        for (const { place } of faults) {
          if (place !== 'provider') expect(site!.points.map((point) => point.name)).toContain(place.hopTo);
        }
        if (isFault) told.push(name);
      }
    }
    expect(new Set(told).size).toBe(told.length);
  });

  test('of a lost channel name a channel that the plan carries', () => {
    for (const { sites, faults = [] } of SCENARIOS) {
      for (const { shape } of faults) {
        if (shape.kind !== 'channels-lost') continue;
        for (const name of sites) {
          const { lineUps } = fleet.find((site) => site.name === name)!.simulated;
          const carried = lineUps[0]!.channels.map(({ channel }) => channel);
          expect(carried).toEqual(expect.arrayContaining([...shape.channels]));
        }
      }
    }
  });

  test('of one network touch only buildings of one provider', () => {
    for (const { sites, faults = [] } of SCENARIOS) {
      if (!faults.some(({ place }) => place === 'provider')) continue;
      const providers = ROSTER.filter(({ name }) => sites.includes(name)).map(({ provider }) => provider);
      expect(new Set(providers).size).toBe(1);
    }
  });

  test('are recorded as truth with their dates', () => {
    const truth = demoTruth(ORIGIN_MS);
    expect(truth.filter(({ isFault }) => isFault).length).toBeGreaterThanOrEqual(12);
    const feedDown = truth.find(({ name }) => name === 'feedDownFourDb')!;
    expect(feedDown.changes).toEqual([
      {
        cause: 'provider feed low',
        kind: 'flat',
        side: 'provider',
        hopTo: null,
        onsetAt: new Date(ORIGIN_MS - 1.25 * DAY_MS).toISOString(),
        endAt: null,
        sizeDb: -4,
        overDays: 0,
      },
    ]);
  });
});

function firstTameSweep(simulator: Simulator, point: string): Sweep {
  for (let day = 120; day > 0; day -= 1) {
    const atMs = ORIGIN_MS - day * DAY_MS;
    const sweep = simulator.sweep(point, atMs);
    if (sweep && !simulator.isWild(point, atMs)) return sweep;
  }
  throw new Error(`${point} gave no sweep`);
}
