import { expect, test } from 'vitest';
import { observe } from '../../../api/trend/observe.ts';
import { emptySiteTrend, hourInProgress, takeSweep, toldFindings } from '../../../api/trend/siteTrend.ts';
import type { Sweep } from '../../../ingest/sweep.ts';
import { compare } from '../../evaluate/engineUnderTest.ts';
import { DAY_MS, makeSite, withFaults } from '../../evaluate/fleet.ts';
import { SETTINGS } from '../../evaluate/settings.ts';
import { sweepsOf } from '../../evaluate/sweepsOf.ts';
import { idOf, leading, type Taken, takenOf, treeOf, watch } from './watchedSite.ts';

const plain = makeSite(78, 'state test', SETTINGS.standard, 0, 'risers');
const tree = treeOf(plain);
const { startMs, points } = plain.evaluated;
const outlet = points[points.length - 1]!.name;
const ONSET_MS = startMs + 8 * DAY_MS;

/** A step at an outlet, and a suck-out that grows at another. */
const faulty = withFaults(plain, [
  {
    cause: 'splitter changed',
    shape: { kind: 'flat' },
    place: { hopTo: outlet, end: 'entry' },
    onsetMs: ONSET_MS,
    endMs: null,
    sizeDb: -2,
    overDays: 0,
  },
  {
    cause: 'suck-out',
    shape: { kind: 'notch', centreMhz: 450, widthMhz: 30 },
    place: { hopTo: points[points.length - 2]!.name, end: 'entry' },
    onsetMs: ONSET_MS,
    endMs: null,
    sizeDb: -300,
    overDays: 1000,
  },
]);

const copy = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;

test('a state that is written and read back between any two sweeps goes on the same', () => {
  const kept = emptySiteTrend();
  let stored = emptySiteTrend();
  let findings = 0;
  let taken = 0;
  for (const { pointId, frame, observation, reference } of takenOf(faulty, 14)) {
    const inMemory = takeSweep(kept, tree, pointId, frame, observation, reference);
    if (taken++ % 40 === 0) stored = copy(stored);
    const fromStore = takeSweep(stored, tree, pointId, frame, observation, reference);
    expect(JSON.stringify(fromStore)).toBe(JSON.stringify(inMemory));
    findings += inMemory.changed.length;
  }
  expect(findings).toBeGreaterThan(3);
  expect(copy(stored)).toEqual(copy(kept));
});

test('what a state knows is what was told and not taken back', () => {
  const trend = emptySiteTrend();
  const told = watch(tree, takenOf(faulty, 11), trend);
  const standing = told.filter(({ isGone }) => !isGone).map(({ last }) => last);
  expect(standing.length).toBeGreaterThan(0);
  const inOrder = (findings: typeof standing) =>
    findings.toSorted((a, b) => a.event - b.event || a.pointId - b.pointId);
  expect(inOrder(toldFindings(trend))).toEqual(inOrder(standing));
});

test('the state stays under 16 kB a point with 135 channels, and no longer grows once full', {
  timeout: 60_000,
}, () => {
  const site = makeSite(79, 'state size', SETTINGS['many-channels'], 0, 'passive');
  const trend = emptySiteTrend();
  const sizes: { day: number; bytes: number }[] = [];
  let taken = 0;
  for (const sweep of takenOf(site, 65)) {
    watch(treeOf(site), [sweep], trend);
    const day = (sweep.observation.atMs - site.evaluated.startMs) / DAY_MS;
    if (++taken % 97 === 0)
      sizes.push({
        day,
        bytes: Buffer.byteLength(JSON.stringify(trend)) / site.evaluated.points.length,
      });
  }
  const most = (fromDay: number, toDay: number) =>
    Math.max(...sizes.filter(({ day }) => day >= fromDay && day < toDay).map(({ bytes }) => bytes));
  expect(most(0, 65)).toBeLessThan(16_384);
  expect(most(57, 65) / most(49, 57)).toBeLessThan(1.03);
});

test('sweeps out of order are refused', () => {
  const trend = emptySiteTrend();
  const sweeps = [...takenOf(plain, 3.1)];
  watch(tree, sweeps, trend);
  expect(() => watch(tree, [sweeps[sweeps.length - 5]!], trend)).toThrow(RangeError);
});

test('without a baseline only the hours are kept', () => {
  const trend = emptySiteTrend();
  let hours = 0;
  for (const { pointId, frame, observation } of takenOf(faulty, 9)) {
    const { changed, endedHour } = takeSweep(trend, tree, pointId, frame, observation, null);
    expect(changed).toEqual([]);
    if (endedHour !== null) hours++;
  }
  expect(hours).toBeGreaterThan(4 * 6 * 23);
  expect(hourInProgress(trend, 1)).toMatchObject({ levelDevDb: null, levelDbmv: expect.any(Number) });
  expect(hourInProgress(trend, 99)).toBeNull();
});

test('a new baseline closes what was open at that point, and what it took in is not told again', () => {
  const step = withFaults(plain, faulty.simulated.faults.slice(0, 1));
  const acceptedMs = ONSET_MS + 2 * DAY_MS;
  const sinceStep: Sweep[] = [...sweepsOf(step, ONSET_MS, acceptedMs)]
    .filter(({ point }) => point === outlet)
    .map(({ sweep }) => sweep);
  const accepted = compare(plain.evaluated, sinceStep);
  const outletId = idOf(plain, outlet);
  const told = watch(tree, rebased(takenOf(step, 16), outletId, acceptedMs, accepted));
  expect(leading(told)).toHaveLength(1);
  const { last } = told[0]!;
  expect(last).toMatchObject({ kind: 'step', pointId: outletId, evidence: { closedBy: 'baseline 2' } });
  expect(last.closedMs! - acceptedMs).toBeGreaterThanOrEqual(0);
  expect(last.closedMs! - acceptedMs).toBeLessThan(3_600_000);
});

/** From a moment on one point is held against a baseline of its own. */
function* rebased(
  sweeps: Iterable<Taken>,
  pointId: number,
  fromMs: number,
  { frame, reference }: ReturnType<typeof compare>,
): Generator<Taken> {
  for (const taken of sweeps) {
    const isAfter = taken.pointId === pointId && taken.observation.atMs >= fromMs;
    yield isAfter
      ? {
          ...taken,
          frame,
          observation: observe(taken.sweep, frame),
          reference: { ...reference, baselineVersion: 2 },
        }
      : taken;
  }
}
