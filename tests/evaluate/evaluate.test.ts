import { expect, test } from 'vitest';
import { ROWS } from './cases.ts';
import { cleanReadings } from './cleanReadings.ts';
import { confusionLines, f1, macroF1 } from './confusion.ts';
import { evaluate } from './evaluate.ts';
import { DAY_MS, makeSite, withFaults } from './fleet.ts';
import { readOptions } from './options.ts';
import type { Row, Truth } from './plantedCase.ts';
import { poissonInterval } from './poissonInterval.ts';
import { SETTINGS } from './settings.ts';
import { quantileOf } from './summarise.ts';
import { sweepsOf } from './sweepsOf.ts';
import { createTodayWatch } from './today.ts';
import { firstShownMs, limitCrossingMs, trueSizeDb } from './truths.ts';

const STANDARD = SETTINGS.standard;

test('figures are the same again, on however many threads', async () => {
  const options = readOptions(['--rows', 'level step 4', '--sites', '1', '--years', '1']);
  const short = { ...options, quietDays: 16 };
  const alone = await evaluate({ ...short, workers: 0 }, () => {});
  const together = await evaluate({ ...short, workers: 2 }, () => {});

  expect(together).toEqual(alone);
  expect(alone.cases).toHaveLength(1);
}, 60_000);

test('another seed is another fleet', () => {
  const [one, other] = [1, 2].map((seed) => makeSite(seed, 'same name', STANDARD, 0));
  expect(one!.simulated.seed).not.toBe(other!.simulated.seed);
});

test('sweeps of all points come in order of time, 15 minutes apart at each', () => {
  const site = makeSite(1, 'order', STANDARD, 0);
  const { startMs, points } = site.evaluated;
  const sweeps = [...sweepsOf(site, startMs, startMs + DAY_MS)];
  const times = sweeps.map(({ sweep }) => sweep.atMs);

  expect(times).toEqual([...times].sort((a, b) => a - b));
  expect(sweeps.length / points.length).toBeGreaterThan(85);
  expect(sweeps.length / points.length).toBeLessThanOrEqual(96);
});

test.each(ROWS.map((row) => [row.name, row] as const))(
  '%s has its place at a point of the site',
  (_, row) => {
    for (const [index, setting] of Object.values(SETTINGS).entries()) {
      const { site, truths } = plant(row, index, setting);
      const names = site.evaluated.points.map(({ name }) => name);
      for (const { hop, fault } of truths) {
        expect(names).toContain(hop);
        expect(fault.place === 'provider' ? 'handoff' : fault.place.hopTo).toBe(hop);
      }
    }
  },
);

test('drift of 0.1 dB a day leaves a window of 6 dB after 60 days', () => {
  const { site, truths } = plant(rowNamed('drift 0.1 dB/d'), 0);
  const crossingMs = limitCrossingMs(site, truths)!;
  expect((crossingMs - truths[0]!.fault.onsetMs) / DAY_MS).toBeCloseTo(60, 1);
});

test('gear that corrects itself hides a loss until its window of 4 dB ends', () => {
  const { site, truths } = plant(rowNamed('drift 0.1 dB/d, gear unwatched'), 0);
  const days = (limitCrossingMs(site, truths)! - truths[0]!.fault.onsetMs) / DAY_MS;
  expect(days).toBeGreaterThan(40);
  expect(days).toBeLessThan(101);
});

test('a tilt step is as large as its row says, and moves level too', () => {
  const { site, truths } = plant(rowNamed('tilt step 2 dB'), 0);
  const [truth] = truths as [Truth];
  const laterMs = truth.fault.onsetMs + DAY_MS;
  expect(trueSizeDb({ metric: 'tilt' }, truth, site, laterMs)).toBeCloseTo(-2, 0);
  expect(trueSizeDb({ metric: 'level' }, truth, site, laterMs)).toBeLessThan(-1);
  expect(trueSizeDb({ metric: 'mer' }, truth, site, laterMs)).toBeNull();
});

test('a loose contact shows with its first dip', () => {
  const { site, truths } = plant(rowNamed('loose, dips 6 dB'), 0);
  const [truth] = truths as [Truth];
  const shownMs = firstShownMs(truth, site);
  const ordinary = cleanReadings({ ...site.simulated, faults: [] });
  const dipped = cleanReadings(site.simulated);
  const changeDb = (atMs: number) =>
    dipped(truth.hop, atMs).levelDbmv[0]! - ordinary(truth.hop, atMs).levelDbmv[0]!;

  expect(shownMs).toBeGreaterThan(truth.fault.onsetMs);
  expect(changeDb(shownMs)).toBeCloseTo(-6, 3);
  expect(changeDb(shownMs - 60_000)).toBeCloseTo(0, 3);
});

test('today two sweeps of a 4 dB step pass the 3 dB alarm and not the 6 dB limits', () => {
  const { site, truths } = plant(rowNamed('level step 4 dB'), 0);
  const { startMs } = site.evaluated;
  const { onsetMs } = truths[0]!.fault;
  const watch = createTodayWatch(site.evaluated);
  for (const { point, sweep } of sweepsOf(site, startMs, startMs + 4 * DAY_MS)) watch.take(point, sweep);
  const raised = [...sweepsOf(site, onsetMs, onsetMs + DAY_MS / 24)].flatMap(({ point, sweep }) =>
    watch.take(point, sweep),
  );
  expect(raised).toContain('3 dB, two sweeps');
  expect(raised).not.toContain('fixed limits, two sweeps');
});

test('the Poisson interval agrees with the published one', () => {
  // Garwood's limits, as in any table of them: 0 events 0 to 2.996, 10 events 5.425 to 16.962 (from memory).
  expect(poissonInterval(0)).toEqual([0, expect.closeTo(2.996, 2)]);
  expect(poissonInterval(10)).toEqual([expect.closeTo(5.425, 2), expect.closeTo(16.962, 2)]);
});

test('F1 punishes a cause told wrongly as well as one not told', () => {
  const named = [
    { truth: 'echo', told: 'echo' },
    { truth: 'echo', told: 'not sure' },
    { truth: 'suck-out', told: 'echo' },
  ];
  expect(f1(named, 'echo')).toBeCloseTo(0.5);
  expect(macroF1(named)).toBeCloseTo(0.25);
  expect(confusionLines(named)[1]).toContain('echo');
});

test('a fault missed makes a quantile endless that it has a part in', () => {
  const values = [1, 2, 3, Number.POSITIVE_INFINITY];
  expect(quantileOf(values, 0.5)).toBe(2.5);
  expect(quantileOf(values, 0.9)).toBe(Number.POSITIVE_INFINITY);
  expect(quantileOf([3, 1, 2], 0.5)).toBe(2);
  expect(quantileOf([], 0.5)).toBeNull();
});

test('a wrong option says what would be right', () => {
  expect(() => readOptions(['--setting', 'lunar'])).toThrow('standard');
  expect(() => readOptions(['--rows', 'nothing'])).toThrow('drift');
  expect(() => readOptions(['--sites', 'many'])).toThrow('whole number');
});

function rowNamed(name: string): Row {
  return ROWS.find((row) => row.name === name)!;
}

function plant(row: Row, index: number, setting = STANDARD as (typeof SETTINGS)[keyof typeof SETTINGS]) {
  const site = makeSite(9, row.name, setting, index, row.layouts?.[0]);
  const { points, channels, startMs } = site.evaluated;
  const names = channels.map(({ channel }) => channel);
  const truths = row.plant({ points, channels: names }, startMs + 40 * DAY_MS, () => 0.4);
  return {
    site: withFaults(
      site,
      truths.map(({ fault }) => fault),
    ),
    truths,
  };
}
