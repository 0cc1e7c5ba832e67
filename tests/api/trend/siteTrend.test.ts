import { expect, test } from 'vitest';
import { BLOCK_MS } from '../../../api/trend/types.ts';
import type { Fault } from '../../../seed/simulator/fault.ts';
import { DAY_MS, type FleetSite, makeSite, withFaults } from '../../evaluate/fleet.ts';
import { SETTINGS } from '../../evaluate/settings.ts';
import { idOf, leading, type Told, takenOf, treeOf, watch } from './watchedSite.ts';

const SWEEP_MS = 15 * 60_000;
const ONSET_DAY = 12;
const plain = makeSite(77, 'engine test', SETTINGS.standard, 0, 'risers');
const { startMs, points } = plain.evaluated;
const ONSET_MS = startMs + ONSET_DAY * DAY_MS + 7 * 60_000;
const outlet = points[points.length - 1]!.name;
const amplifier = points.find(({ kind }) => kind === 'amplifier')!.name;

type Planted = Pick<Fault, 'cause' | 'shape' | 'place' | 'sizeDb' | 'overDays'> & Partial<Fault>;

function planted(fault: Planted): FleetSite {
  return withFaults(plain, [{ onsetMs: ONSET_MS, endMs: null, ...fault }]);
}

/** What is told of a fault until so many days after its onset. */
function told(fault: Planted, days: number): Told[] {
  const site = planted(fault);
  return watch(treeOf(site), takenOf(site, ONSET_DAY + days));
}

const stepAt = (point: string, sizeDb: number): Planted => ({
  cause: 'splitter changed',
  shape: { kind: 'flat' },
  place: { hopTo: point, end: 'entry' },
  sizeDb,
  overDays: 0,
});

test('a step at an outlet is one finding, at its hop, the building’s, within three sweeps', () => {
  const all = told(stepAt(outlet, -2), 1.5);
  expect(all).toHaveLength(1);
  const [{ first, last, firstMs }] = all as [Told];
  const id = idOf(plain, outlet);
  expect(first).toMatchObject({ kind: 'step', metric: 'level', shape: 'flat', pointId: id, hopTo: id });
  expect(first).toMatchObject({ side: 'building', hopFrom: idOf(plain, amplifier), explainedBy: null });
  expect(firstMs - ONSET_MS).toBeLessThanOrEqual(3 * SWEEP_MS);
  expect(last.onsetLowMs).toBeLessThanOrEqual(ONSET_MS);
  expect(last.onsetHighMs).toBeGreaterThanOrEqual(ONSET_MS);
  expect(last.sizeLowDb).toBeLessThan(-1.8);
  expect(last.sizeHighDb).toBeGreaterThan(-2.2);
  expect(last.sizeHighDb - last.sizeLowDb).toBeLessThan(0.6);
});

test('a step of the feed is the provider’s: one finding leads, and it explains those at all other points', () => {
  const all = told({ ...stepAt(outlet, -2), cause: 'provider feed low', place: 'provider' }, 1.5);
  const [lead, ...more] = leading(all);
  const handoff = idOf(plain, 'handoff');
  expect(more).toEqual([]);
  expect(lead!.first).toMatchObject({ kind: 'step', metric: 'level', side: 'provider' });
  expect(lead!.first).toMatchObject({ pointId: handoff, hopTo: handoff, hopFrom: null });
  expect(lead!.firstMs - ONSET_MS).toBeLessThanOrEqual(3 * SWEEP_MS);
  const followers = all.filter((each) => each !== lead && !each.isGone);
  expect(followers.map(({ last }) => last.pointId).sort()).toEqual([2, 3, 4]);
  for (const { last } of followers) {
    expect(last).toMatchObject({ event: lead!.last.event, explainedBy: handoff, hopTo: handoff });
    expect(Math.abs(last.sizeDb + 2)).toBeLessThan(0.4);
  }
});

test('a step that is put right closes', () => {
  const all = told({ ...stepAt(outlet, -4), endMs: ONSET_MS + DAY_MS }, 2);
  expect(all).toHaveLength(1);
  expect(Math.abs(all[0]!.last.closedMs! - ONSET_MS - DAY_MS)).toBeLessThan(3_600_000);
});

test('a slow loss at one hop is found within six days, with its size and rate', () => {
  const days = 12;
  const all = told(
    {
      cause: 'amplifier losing gain',
      shape: { kind: 'flat' },
      place: { hopTo: outlet, end: 'exit' },
      sizeDb: -100,
      overDays: 1000,
    },
    days,
  );
  expect(leading(all)).toHaveLength(1);
  const [{ first, last, firstMs }] = leading(all) as [Told];
  const id = idOf(plain, outlet);
  expect(firstMs - ONSET_MS).toBeLessThan(6 * DAY_MS);
  for (const each of [first, last])
    expect(each).toMatchObject({ kind: 'drift', metric: 'level', pointId: id, hopTo: id, side: 'building' });
  const lastBlockEndMs = Math.floor((startMs + (ONSET_DAY + days) * DAY_MS - 1) / BLOCK_MS) * BLOCK_MS;
  const trueDb = (-0.1 * (lastBlockEndMs - ONSET_MS)) / DAY_MS;
  expect(last.sizeLowDb).toBeLessThan(trueDb);
  expect(last.sizeHighDb).toBeGreaterThan(trueDb);
  expect(last.slopeDbPerDay).toBeGreaterThan(-0.115);
  expect(last.slopeDbPerDay).toBeLessThan(-0.085);
  expect(Math.abs(last.onsetMs - ONSET_MS)).toBeLessThan(2 * DAY_MS);
  // The limit lies 6 dB below the baseline, so 60 days after the onset.
  expect(last.limitName).toBe('level');
  expect(Math.abs(last.daysToLimit!.p50 - (60 - days))).toBeLessThan(10);
});

test('a lost channel is told at the hop that lost it, and closes when it is found again', () => {
  const { channel } = plain.evaluated.channels[30]!;
  const all = told(
    {
      cause: 'modulator off',
      shape: { kind: 'channels-lost', channels: [channel] },
      place: { hopTo: amplifier, end: 'exit' },
      sizeDb: 0,
      overDays: 0,
      endMs: ONSET_MS + DAY_MS / 2,
    },
    1.5,
  );
  const [lead, ...more] = leading(all);
  expect(more).toEqual([]);
  expect(lead!.first).toMatchObject({ kind: 'channel-lost', metric: 'channels' });
  expect(lead!.first).toMatchObject({ hopTo: idOf(plain, amplifier), evidence: { channels: [channel] } });
  expect(lead!.firstMs - ONSET_MS).toBeLessThanOrEqual(3 * SWEEP_MS);
  for (const { last } of all.filter(({ isGone }) => !isGone))
    expect(Math.abs(last.closedMs! - ONSET_MS - DAY_MS / 2)).toBeLessThan(3 * SWEEP_MS);
});

test('dips that come and go become one finding', () => {
  const all = told(
    {
      cause: 'loose connector',
      shape: { kind: 'loose-contact', share: 0.1, spellMinutes: 20 },
      place: { hopTo: outlet, end: 'entry' },
      sizeDb: -6,
      overDays: 0,
    },
    3,
  );
  expect(leading(all)).toHaveLength(1);
  const [{ last }] = leading(all) as [Told];
  expect(last).toMatchObject({ kind: 'dips', metric: 'level', hopTo: idOf(plain, outlet), side: 'building' });
  expect(Math.abs(last.sizeDb + 6)).toBeLessThan(1);
  expect(last.closedMs).toBeNull();
});
