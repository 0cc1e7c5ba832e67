import { expect, test } from 'vitest';
import type { Fault } from '../../../seed/simulator/fault.ts';
import { DAY_MS, makeSite, withFaults } from '../../evaluate/fleet.ts';
import { SETTINGS } from '../../evaluate/settings.ts';
import { idOf, leading, type Taken, type Told, takenOf, treeOf, watch } from './watchedSite.ts';

const HOUR_MS = 3_600_000;
const ONSET_DAY = 8;
const plain = makeSite(81, 'heard late', SETTINGS.standard, 0, 'risers');
const { startMs, points } = plain.evaluated;
const ONSET_MS = startMs + ONSET_DAY * DAY_MS;
const amplifier = points.find(({ kind }) => kind === 'amplifier')!.name;
const handoff = idOf(plain, points[0]!.name);
const tree = treeOf(plain);

type Planted = Pick<Fault, 'cause' | 'shape' | 'place' | 'sizeDb'>;

/** What is told of a fault when the amplifier's point is silent for the first three hours of it. */
function told(fault: Planted): { early: Told[]; late: Told[] } {
  const site = withFaults(plain, [{ onsetMs: ONSET_MS, endMs: null, overDays: 0, ...fault }]);
  const isHeard = ({ pointId, sweep }: Taken) =>
    pointId !== idOf(plain, amplifier) || sweep.atMs < ONSET_MS || sweep.atMs > ONSET_MS + 3 * HOUR_MS;
  const sweeps = [...takenOf(site, ONSET_DAY + 0.5)].filter(isHeard);
  const until = (ms: number) =>
    leading(
      watch(
        tree,
        sweeps.filter(({ sweep }) => sweep.atMs <= ms),
      ),
    );
  return { early: until(ONSET_MS + 2 * HOUR_MS), late: until(Number.POSITIVE_INFINITY) };
}

test.each<[string, Planted]>([
  [
    'step',
    {
      cause: 'amplifier losing gain',
      shape: { kind: 'flat' },
      place: { hopTo: amplifier, end: 'exit' },
      sizeDb: -3,
    },
  ],
  [
    'channel-lost',
    {
      cause: 'modulator off',
      shape: { kind: 'channels-lost', channels: [plain.evaluated.channels[30]!.channel] },
      place: { hopTo: amplifier, end: 'exit' },
      sizeDb: 0,
    },
  ],
  [
    'ripple',
    {
      cause: 'echo from a damaged cable',
      shape: { kind: 'ripple', delayNs: 90 },
      place: { hopTo: amplifier, end: 'exit' },
      sizeDb: 1.2,
    },
  ],
])(
  'a %s at a hop that feeds several points is placed for sure once its own point is heard',
  (kind, fault) => {
    const { early, late } = told(fault);
    expect(early.map(({ last }) => last.kind)).toEqual([kind]);
    expect(early[0]!.last.side).not.toBe('provider');
    expect(late).toHaveLength(1);
    expect(late[0]!.last).toMatchObject({
      kind,
      side: 'building',
      hopFrom: handoff,
      hopTo: idOf(plain, amplifier),
    });
    expect(late[0]!.last.alsoPossible).toEqual([]);
  },
);

test('a step of the feed that many floors show before anything above them is read has no other place once the handoff is heard', () => {
  const high = makeSite(82, 'many floors', SETTINGS.tower, 0);
  const [feed, gear, ...floors] = treeOf(high).map(({ pointId }) => pointId) as [number, number, ...number[]];
  const onsetMs = high.evaluated.startMs + ONSET_DAY * DAY_MS;
  const site = withFaults(high, [
    {
      cause: 'provider feed low',
      shape: { kind: 'flat' },
      place: { hopTo: high.evaluated.points[0]!.name, end: 'exit' },
      onsetMs,
      endMs: null,
      sizeDb: -3,
      overDays: 0,
    },
  ]);
  const isHeard = ({ pointId, sweep }: Taken) =>
    (pointId !== feed && pointId !== gear) || sweep.atMs < onsetMs || sweep.atMs > onsetMs + HOUR_MS;
  const sweeps = [...takenOf(site, ONSET_DAY + 0.2)].filter(isHeard);
  const whileSilent = sweeps.filter(({ sweep }) => sweep.atMs < onsetMs + HOUR_MS);
  const early = leading(watch(treeOf(high), whileSilent));
  expect(early).toHaveLength(1);
  expect(floors).toEqual(expect.arrayContaining([early[0]!.last.hopTo, ...early[0]!.last.alsoPossible]));
  const late = leading(watch(treeOf(high), sweeps));
  expect(late.map(({ last }) => last)).toEqual([
    expect.objectContaining({ hopTo: feed, side: 'provider', alsoPossible: [] }),
  ]);
});

/** What is told of a fault of the feed on a site of its own. */
function toldOfFeed(
  seed: number,
  name: string,
  layout: 'risers' | 'campus',
  fault: Pick<Fault, 'cause' | 'shape' | 'sizeDb' | 'overDays'>,
  days: number,
): Told[] {
  const fed = makeSite(seed, name, SETTINGS.standard, 0, layout);
  const onsetMs = fed.evaluated.startMs + ONSET_DAY * DAY_MS;
  const site = withFaults(fed, [{ ...fault, onsetMs, endMs: null, place: 'provider' }]);
  return leading(watch(treeOf(fed), takenOf(site, ONSET_DAY + days)));
}

test('a tilt of the feed is one event, whichever of its features stands out most at a point', () => {
  const feed = { cause: 'provider feed low', shape: { kind: 'cable' }, sizeDb: -3, overDays: 0 } as const;
  for (const seed of [7, 21, 22]) {
    const told = toldOfFeed(seed, 'tilted feed', 'risers', feed, 0.5);
    expect(told.map(({ last }) => [last.kind, last.side])).toEqual([['step', 'provider']]);
  }
});

test("a faint step that the handoff's noise hid is the provider's once its hours tell it", () => {
  const noisy = makeSite(8, 'faint step', SETTINGS.noisy, 0, 'campus');
  const site = withFaults(noisy, [
    {
      cause: 'provider feed low',
      shape: { kind: 'flat' },
      sizeDb: -1,
      overDays: 0,
      onsetMs: noisy.evaluated.startMs + ONSET_DAY * DAY_MS,
      endMs: null,
      place: 'provider',
    },
  ]);
  const told = leading(watch(treeOf(noisy), takenOf(site, ONSET_DAY + 1)));
  expect(told.map(({ first, last }) => [first.kind, first.side, last.side])).toEqual([
    ['step', 'building', 'provider'],
  ]);
  expect(told[0]!.last.hopFrom).toBeNull();
});

test("a suck-out that grows in the feed is the provider's from the first telling", () => {
  const feed = {
    cause: 'suck-out',
    shape: { kind: 'notch', centreMhz: 500, widthMhz: 30 },
    sizeDb: -3,
    overDays: 5,
  } as const;
  const told = toldOfFeed(6, 'sucked out', 'campus', feed, 1.5);
  expect(told.map(({ first, last }) => [first.kind, first.side, last.side])).toEqual([
    ['notch', 'provider', 'provider'],
  ]);
});

test('a channel lost just after the handoff was read is told by the next two points, and not when the handoff is read again', () => {
  const roundMs = ONSET_MS - (ONSET_MS % plain.evaluated.intervalMs);
  const onsetMs = roundMs + plain.phaseMs.get(points[0]!.name)! + 5000;
  const site = withFaults(plain, [
    {
      cause: 'modulator off',
      shape: { kind: 'channels-lost', channels: [plain.evaluated.channels[30]!.channel] },
      place: { hopTo: amplifier, end: 'exit' },
      onsetMs,
      endMs: null,
      sizeDb: 0,
      overDays: 0,
    },
  ]);
  const told = leading(watch(tree, takenOf(site, ONSET_DAY + 0.1)));
  expect(told).toHaveLength(1);
  expect(told[0]!.last).toMatchObject({
    kind: 'channel-lost',
    hopTo: idOf(plain, amplifier),
    side: 'building',
  });
  expect(told[0]!.firstMs - onsetMs).toBeLessThan(3 * 60_000);
});

test('a new baseline at a point that follows closes its finding and no other', () => {
  const site = withFaults(plain, [
    {
      cause: 'amplifier losing gain',
      shape: { kind: 'flat' },
      place: { hopTo: amplifier, end: 'exit' },
      onsetMs: ONSET_MS,
      endMs: null,
      sizeDb: -3,
      overDays: 0,
    },
  ]);
  const follower = idOf(plain, points[points.length - 1]!.name);
  const acceptedMs = ONSET_MS + 6 * HOUR_MS;
  const sweeps = [...takenOf(site, ONSET_DAY + 0.5)].map((taken) =>
    taken.pointId === follower && taken.sweep.atMs > acceptedMs
      ? { ...taken, reference: { ...taken.reference, baselineVersion: 2 } }
      : taken,
  );
  const all = watch(tree, sweeps).filter(({ isGone, last }) => !isGone && last.kind === 'step');
  const closed = all.filter(({ last }) => last.closedMs !== null);
  expect(closed.map(({ last }) => last.pointId)).toContain(follower);
  const lead = leading(all).find(({ last }) => last.hopTo === idOf(plain, amplifier))!;
  expect(lead.last.closedMs).toBeNull();
});
