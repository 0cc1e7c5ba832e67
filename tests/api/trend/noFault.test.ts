import { expect, test } from 'vitest';
import type { Sweep } from '../../../ingest/sweep.ts';
import { ORDINARY_METER } from '../../../seed/simulator/defaults.ts';
import { DAY_MS, type FleetSite, makeSite } from '../../evaluate/fleet.ts';
import { SETTINGS } from '../../evaluate/settings.ts';
import { normalNoise } from './noise.ts';
import { type Spoil, takenOf, treeOf, watch } from './watchedSite.ts';

const BASELINE_DAYS = 3;

test.each([
  { seed: 101, layout: 'risers' },
  { seed: 102, layout: 'campus' },
] as const)(
  'thirty days without a fault raise nothing: seed $seed',
  { timeout: 60_000 },
  ({ seed, layout }) => {
    const site = makeSite(seed, 'quiet days', SETTINGS.standard, 0, layout);
    expect(watch(treeOf(site), takenOf(site, BASELINE_DAYS + 30))).toEqual([]);
  },
);

/** Every sweep comes, and none is wild by itself. */
const tidy = makeSite(
  103,
  'wild sweeps',
  { ...SETTINGS.standard, meter: { ...ORDINARY_METER, missingSweeps: 0, wildSweeps: 0 } },
  0,
  'risers',
);
const { startMs } = tidy.evaluated;
const [, , outlet] = tidy.evaluated.points.map(({ name }) => name);
const WILD_MS = startMs + 4 * DAY_MS;

/** Spoils the sweeps of an outlet from `WILD_MS` on, one change each: dB by carrier. */
function spoiled(changesDb: readonly ((carrier: number) => number)[]): Spoil {
  let next = 0;
  return (sweep: Sweep, point: string) => {
    if (point !== outlet || sweep.atMs < WILD_MS || next === changesDb.length) return sweep;
    const change = changesDb[next++]!;
    const levelDbmv = sweep.levelDbmv.map((level, i) => (level === null ? null : level + change(i)));
    return { ...sweep, levelDbmv };
  };
}

function nonsense(seed: number, levelDb: number): (carrier: number) => number {
  const normal = normalNoise(seed);
  const pattern = Array.from({ length: 200 }, () => levelDb + 3 * normal());
  return (carrier) => pattern[carrier]!;
}

const flat = (levelDb: number) => () => levelDb;

test.each([
  ['a single wild sweep', [nonsense(1, -6)]],
  ['a single sweep 6 dB low', [flat(-6)]],
  ['two wild sweeps of different patterns', [nonsense(1, -6), nonsense(2, -6)]],
  ['two wild sweeps in opposite directions', [flat(-6), flat(5)]],
  ['a wild sweep and one 6 dB low', [nonsense(1, -6), flat(-6)]],
])('%s raises nothing', (_, changesDb) => {
  expect(watch(treeOf(tidy), takenOf(tidy, 5, spoiled(changesDb)))).toEqual([]);
});

test('sweeps that stay 6 dB low are no wild ones', () => {
  const told = watch(treeOf(tidy), takenOf(tidy, 5, spoiled(Array.from({ length: 96 }, () => flat(-6)))));
  expect(told.map(({ last }) => last.kind)).toEqual(['step']);
});

test('another instrument that reads 1 dB higher is told as that, and nothing else is', () => {
  const swapMs = startMs + 10 * DAY_MS;
  const meters = [0, 1].map((place) => ({
    instrument: `meter-${place}`,
    fromMs: place * swapMs,
    levelBiasDb: place,
    tiltBiasDb: 0,
    merBiasDb: 0,
  }));
  const swapped: FleetSite = { ...tidy, simulated: { ...tidy.simulated, instruments: meters } };
  const told = watch(treeOf(swapped), takenOf(swapped, 14));
  expect(told.map(({ last }) => last.pointId).sort()).toEqual([1, 2, 3, 4]);
  for (const { last } of told) {
    expect(last).toMatchObject({ kind: 'instrument-change', side: 'unsure', explainedBy: null });
    expect(last.evidence).toMatchObject({ instrument: 'meter-1' });
    expect(Math.abs(last.sizeDb - 1)).toBeLessThan(0.35);
    expect(Math.abs(last.onsetMs - swapMs)).toBeLessThanOrEqual(15 * 60_000);
    expect(last.closedMs).not.toBeNull();
  }
});
