import { expect, test } from 'vitest';
import type { Fault } from '../../../seed/simulator/fault.ts';
import type { Alert } from '../../evaluate/alert.ts';
import { createEngine } from '../../evaluate/engineUnderTest.ts';
import { DAY_MS, type FleetSite, makeSite, withFaults } from '../../evaluate/fleet.ts';
import { SETTINGS } from '../../evaluate/settings.ts';
import { sweepsOf } from '../../evaluate/sweepsOf.ts';

const ONSET_DAY = 12;
const plain = makeSite(77, 'engine test', SETTINGS.standard, 0);
const { startMs, points } = plain.evaluated;
const ONSET_MS = startMs + ONSET_DAY * DAY_MS + 7 * 60_000;
const outlet = points[points.length - 1]!.name;

/** What is told of a site from the onset on: each alert as told first, and as told last. */
function watch(site: FleetSite, days: number): { first: Alert; last: Alert; firstMs: number }[] {
  const engine = createEngine(site.evaluated);
  const told = new Map<string, { first: Alert; last: Alert; firstMs: number }>();
  for (const { point, sweep } of sweepsOf(site, startMs, startMs + days * DAY_MS)) {
    for (const alert of engine.take(point, sweep)) {
      const known = told.get(alert.id);
      if (known) known.last = alert;
      else told.set(alert.id, { first: alert, last: alert, firstMs: sweep.atMs });
    }
  }
  return [...told.values()];
}

function planted(
  fault: Pick<Fault, 'cause' | 'shape' | 'place' | 'sizeDb' | 'overDays'> & Partial<Fault>,
): FleetSite {
  return withFaults(plain, [{ onsetMs: ONSET_MS, endMs: null, ...fault }]);
}

test('a fortnight without a fault raises nothing', () => {
  expect(watch(plain, 14)).toEqual([]);
});

test('a step at an outlet is one finding, at its hop, within three sweeps', () => {
  const site = planted({
    cause: 'splitter changed',
    shape: { kind: 'flat' },
    place: { hopTo: outlet, end: 'entry' },
    sizeDb: -2,
    overDays: 0,
  });
  const [told, ...more] = watch(site, ONSET_DAY + 1.5);
  expect(more).toEqual([]);
  expect(told!.first).toMatchObject({ kind: 'step', metric: 'level', hops: [outlet], side: 'building' });
  expect(told!.firstMs - ONSET_MS).toBeLessThanOrEqual(3 * 15 * 60_000);
  expect(told!.last.sizeLowDb).toBeLessThan(-1.8);
  expect(told!.last.sizeHighDb).toBeGreaterThan(-2.2);
});

test('a step of the feed is the provider’s, and one finding for all points', () => {
  const site = planted({
    cause: 'provider feed low',
    shape: { kind: 'flat' },
    place: 'provider',
    sizeDb: -3,
    overDays: 0,
  });
  const told = watch(site, ONSET_DAY + 1.5);
  expect(told).toHaveLength(1);
  expect(told[0]!.first).toMatchObject({ hops: ['handoff'], side: 'provider' });
});

test('a step that is put right closes', () => {
  const site = planted({
    cause: 'splitter changed',
    shape: { kind: 'flat' },
    place: { hopTo: outlet, end: 'entry' },
    sizeDb: -4,
    overDays: 0,
    endMs: ONSET_MS + DAY_MS,
  });
  const [told, ...more] = watch(site, ONSET_DAY + 2);
  expect(more).toEqual([]);
  expect(Math.abs(told!.last.closedMs! - ONSET_MS - DAY_MS)).toBeLessThan(3_600_000);
});

test('a slow loss at one hop is found within six days, with its rate', () => {
  const site = planted({
    cause: 'amplifier losing gain',
    shape: { kind: 'flat' },
    place: { hopTo: outlet, end: 'exit' },
    sizeDb: -100,
    overDays: 1000,
  });
  const [told] = watch(site, ONSET_DAY + 12);
  expect(told!.firstMs - ONSET_MS).toBeLessThan(6 * DAY_MS);
  expect(told!.last).toMatchObject({ kind: 'drift', metric: 'level', hops: [outlet], side: 'building' });
  expect(told!.last.slopeDbPerDay).toBeCloseTo(-0.1, 1);
  expect(Math.abs(told!.last.onsetMs - ONSET_MS)).toBeLessThan(3 * DAY_MS);
});

test('dips that come and go become one finding', () => {
  const site = planted({
    cause: 'loose connector',
    shape: { kind: 'loose-contact', share: 0.1, spellMinutes: 20 },
    place: { hopTo: outlet, end: 'entry' },
    sizeDb: -6,
    overDays: 0,
  });
  const told = watch(site, ONSET_DAY + 3);
  expect(told.filter(({ last }) => last.kind === 'dips')).toHaveLength(1);
  expect(told.length).toBeLessThanOrEqual(3);
});

test('sweeps out of order are refused', () => {
  const engine = createEngine(plain.evaluated);
  const sweeps = [...sweepsOf(plain, startMs, startMs + 3.2 * DAY_MS)];
  for (const { point, sweep } of sweeps) engine.take(point, sweep);
  const { point, sweep } = sweeps[sweeps.length - 5]!;
  expect(() => engine.take(point, sweep)).toThrow(RangeError);
});
