import { expect, test } from 'vitest';
import { buildFrame } from '../../../api/trend/frame.ts';
import { observe } from '../../../api/trend/observe.ts';
import { emptySiteTrend } from '../../../api/trend/siteTrend.ts';
import type { Sweep } from '../../../ingest/sweep.ts';
import { typedInstrument } from '../../../ingest/typedInstrument.ts';
import { ORDINARY_METER } from '../../../seed/simulator/defaults.ts';
import { makeSite } from '../../evaluate/fleet.ts';
import { SETTINGS } from '../../evaluate/settings.ts';
import { leading, type Taken, takenOf, treeOf, watch } from './watchedSite.ts';

const MINUTE_MS = 60_000;
const BASELINE_DAYS = 3;
const METER = typedInstrument('meter-9');
const site = makeSite(
  113,
  'typed',
  { ...SETTINGS.standard, meter: { ...ORDINARY_METER, missingSweeps: 0, wildSweeps: 0 } },
  0,
  'risers',
);
const tree = treeOf(site);
const OUTLET = 3;
const sweeps = [...takenOf(site, BASELINE_DAYS + 6)];
const channels = sweeps[0]!.sweep.freqMhz.length;
/** Two channels at the bottom of the band, three in the middle, two at the top. */
const TYPED = [0, 4, 0.48, 0.5, 0.52, 0.96, 1].map((place) =>
  place > 1 ? place : Math.round(place * (channels - 1)),
);

type Change = (carrier: number) => number;
const agreeing: Change = () => 0;

/** The same few minutes later as a person would type it: seven channels, to the tenth. */
function typed(taken: Taken, change: Change, instruments = taken.reference.instruments): Taken {
  const pick = <T>(values: readonly T[]) => TYPED.map((place) => values[place]!);
  const tenth = (value: number | null) => (value === null ? null : Math.round(value * 10) / 10);
  const frame = buildFrame({
    carriers: pick(taken.frame.carriers),
    band: taken.frame,
    line: taken.frame.line,
    channelAt: taken.frame.channelAt,
  });
  const sweep: Sweep = {
    ...taken.sweep,
    atMs: taken.sweep.atMs + 4 * MINUTE_MS,
    instrument: METER,
    freqMhz: pick(taken.sweep.freqMhz),
    levelDbmv: pick(taken.sweep.levelDbmv).map((level, i) =>
      tenth(level === null ? null : level + change(i)),
    ),
    merDb: taken.sweep.merDb && pick(taken.sweep.merDb).map(tenth),
    cnrDb: taken.sweep.cnrDb && pick(taken.sweep.cnrDb).map(tenth),
  };
  return {
    ...taken,
    sweep,
    frame,
    observation: observe(sweep, frame),
    reference: { ...taken.reference, instruments },
  };
}

const atOutlet = sweeps.filter(({ pointId }) => pointId === OUTLET);
const outletEvery = (hours: number) =>
  atOutlet.filter(
    ({ sweep }, i) => i > 0 && (sweep.atMs - atOutlet[0]!.sweep.atMs) % (hours * 60 * MINUTE_MS) === 0,
  );
const inOrder = (taken: Taken[]) =>
  taken.sort((a, b) => a.sweep.atMs - b.sweep.atMs || a.pointId - b.pointId);

/** Everything that probes send, and typed sweeps of the outlet among it. */
function amongProbes(changes: readonly Change[], hours = 20): Taken[] {
  return inOrder([
    ...sweeps,
    ...outletEvery(hours).flatMap((taken, i) => (changes[i] ? [typed(taken, changes[i])] : [])),
  ]);
}

const often = (change: Change) => Array.from({ length: 99 }, () => change);
const wrongDigits = TYPED.flatMap((_, place) => [-18, -9, 10].map((db) => [place, db] as const));

test('typed sweeps that agree raise nothing where a probe reads, and leave what it has taught as it is', () => {
  const [without, among] = [emptySiteTrend(), emptySiteTrend()];
  expect(watch(tree, inOrder([...sweeps]), without)).toEqual([]);
  expect(watch(tree, amongProbes(often(agreeing)), among)).toEqual([]);
  const learnt = ({ quick, history, channels, scatterDb }: (typeof among.points)[number]) => ({
    quick,
    history,
    channels,
    scatterDb,
  });
  expect(learnt(among.points[OUTLET]!)).toEqual(learnt(without.points[OUTLET]!));
});

test('a meter that reads 3 dB off raises nothing where a probe reads, however often it is typed', () => {
  expect(watch(tree, amongProbes(often(() => -3)))).toEqual([]);
});

test.each([0, 3, 6])('a wrong digit on the typed channel %i raises nothing where a probe reads', (place) => {
  for (const db of [-18, 10]) {
    const changes = [agreeing, agreeing, agreeing, (carrier: number) => (carrier === place ? db : 0)];
    expect(watch(tree, amongProbes(changes))).toEqual([]);
  }
});

/** An outlet that is read by hand alone, baseline and all. */
const byHand = (change: (sweep: number) => Change) =>
  outletEvery(4).map((taken, i) => typed(taken, change(i), [METER]));

test('typed sweeps that agree raise nothing where nothing else reads', () => {
  expect(
    watch(
      tree,
      byHand(() => agreeing),
    ),
  ).toEqual([]);
});

test.each(wrongDigits)(
  'a wrong digit on the typed channel %i, by %i dB, raises nothing where nothing else reads',
  (place, db) => {
    expect(
      watch(
        tree,
        byHand((sweep) => (carrier) => (sweep === 20 && carrier === place ? db : 0)),
      ),
    ).toEqual([]);
  },
);

test('typed sweeps that stay 4 dB low are told as a step where nothing else reads', () => {
  const told = watch(
    tree,
    byHand((sweep) => () => (sweep >= 20 ? -4 : 0)),
  );
  expect(leading(told).map(({ last }) => last.kind)).toEqual(['step']);
  expect(Math.abs(leading(told)[0]!.last.sizeDb + 4)).toBeLessThan(0.6);
});
