import { expect, test } from 'vitest';
import { gaussianStream } from '../../seed/simulator/random.ts';
import { chooseRows } from './cases.ts';
import { cleanReadings } from './cleanReadings.ts';
import { oneSidedRunLength } from './cusumRunLength.ts';
import { DAY_MS, type FleetSite, makeSite, withFaults } from './fleet.ts';
import { lastingInformation, lastingWeights, signatureOf } from './information.ts';
import { cusumThreshold, oracleDelayMs } from './oracle.ts';
import { rampDelay } from './rampLimit.ts';
import { SETTINGS } from './settings.ts';
import { sweepsOf } from './sweepsOf.ts';
import { passageTimes } from './templateScan.ts';

const HOUR_MS = 3_600_000;

test('the scan of a constant shape runs as long as the CUSUM of the same mean', () => {
  const shift = 1;
  const threshold = 3.5;
  const template = new Float64Array(80).fill(shift);
  const quiet = meanPassage(template, threshold, 600, () => 0);
  const shifted = meanPassage(template, threshold, 600, () => shift);

  expect(within(quiet, oneSidedRunLength(shift / 2, threshold / shift, 0), 0.12)).toBe(true);
  expect(within(shifted, oneSidedRunLength(shift / 2, threshold / shift, shift), 0.06)).toBe(true);
});

test('the threshold of a CUSUM gives the run length asked for', () => {
  for (const shift of [0.5, 1, 3]) {
    const threshold = cusumThreshold(shift, 50_000);
    expect(within(oneSidedRunLength(shift / 2, threshold / shift, 0), 50_000, 0.01)).toBe(true);
  }
});

test('a shift so large that no threshold is needed has none', () => {
  expect(cusumThreshold(20, 50_000)).toBe(0);
});

test('the delay of a ramp of any slope follows from one table', () => {
  for (const slope of [0.02, 0.1]) {
    const template = Float64Array.from(
      { length: Math.round(6 * slope ** (-2 / 3) + 30) },
      (_, i) => slope * (i + 1),
    );
    const threshold = 5;
    const runLength = meanPassage(template, threshold, 120, () => 0);
    const delays = passageTimes(template, [threshold], 300, gaussianStream(8), (t) => slope * t);
    const median = delays.map(([t]) => t!).sort((a, b) => a - b)[150]!;
    expect(within(rampDelay(slope, runLength), median, 0.06)).toBe(true);
  }
});

test('what does not move is never found', () => {
  expect(rampDelay(0, 1000)).toBe(Number.POSITIVE_INFINITY);
});

test('the best statistic of simulated sweeps scatters as the oracle believes', () => {
  const site = stillFeed(makeSite(3, 'law', SETTINGS.standard, 0));
  const atMs = site.evaluated.startMs + 40 * DAY_MS;
  const [truth] = chooseRows(['drift 0.1'])[0]!.plant(
    { points: site.evaluated.points, channels: [] },
    atMs,
    () => 0.99,
  );
  const signature = signatureOf(site, [{ ...truth!.fault, overDays: 0, sizeDb: -1 }], atMs);
  const weights = lastingWeights(site, signature, atMs);
  const blocks = blockSums(site, weights, 0.25 * DAY_MS, 30);
  const variancePerRound =
    blocks.reduce((sum, { total, rounds }) => sum + total ** 2 / rounds, 0) / blocks.length;

  expect(within(variancePerRound, lastingInformation(site, signature, atMs), 0.3)).toBe(true);
}, 60_000);

test('the oracle lands near the figures of an independent study of the same physics', () => {
  // Delays of the oracle of the project's first detection study, as its issue quotes them.
  const quoted: [row: string, ms: number][] = [
    ['drift 0.02', 4.7 * DAY_MS],
    ['drift 0.05', 61 * HOUR_MS],
    ['drift 0.1', 39 * HOUR_MS],
    ['drift 0.3', 21 * HOUR_MS],
    ['high end 0.15', 22 * HOUR_MS],
    ['notch 0.05', 45 * HOUR_MS],
    ['notch 0.3', 12 * HOUR_MS],
    ['ripple 0.6', 23 * 60_000],
  ];
  for (const [name, ms] of quoted) {
    const row = chooseRows([name])[0]!;
    const site = makeSite(5, name, SETTINGS.standard, 0);
    const { points, startMs } = site.evaluated;
    const [truth] = row.plant({ points, channels: [] }, startMs + 40 * DAY_MS, () => 0.99);
    const delayMs = oracleDelayMs(withFaults(site, [truth!.fault]), truth!, row.nature)!;
    expect([name, within(delayMs, ms, 0.4)]).toEqual([name, true]);
  }
});

function meanPassage(
  template: Float64Array,
  threshold: number,
  runs: number,
  shift: (t: number) => number,
): number {
  const passed = passageTimes(template, [threshold], runs, gaussianStream(5), shift);
  return passed.reduce((sum, [t]) => sum + t!, 0) / runs;
}

function within(value: number, wanted: number, share: number): boolean {
  return Math.abs(value - wanted) <= share * wanted;
}

/** The same site with one instrument, no nonsense and a complete record, so that only the noise is left. */
function stillFeed(site: FleetSite): FleetSite {
  const { simulated } = site;
  return {
    ...site,
    simulated: {
      ...simulated,
      instruments: [{ instrument: 'one', fromMs: 0, levelBiasDb: 0, tiltBiasDb: 0, merBiasDb: 0 }],
      meter: { ...simulated.meter, wildSweeps: 0, missingSweeps: 0, missingReadings: 0 },
    },
  };
}

/** Sums of the statistic over blocks of time, of what is left of the sweeps after weather is taken out. */
function blockSums(
  site: FleetSite,
  weights: ReturnType<typeof lastingWeights>,
  blockMs: number,
  days: number,
): { total: number; rounds: number }[] {
  const steady = { ...site.simulated.feed, wander: { sd: 0, stepMs: DAY_MS, correlation: 0 } };
  const expected = cleanReadings({ ...site.simulated, feed: steady });
  const { startMs, points } = site.evaluated;
  const totals = new Map<number, { total: number; rounds: number }>();
  for (const { point, sweep } of sweepsOf(site, startMs, startMs + days * DAY_MS)) {
    const block = Math.floor((sweep.atMs - startMs) / blockMs);
    const sum = totals.get(block) ?? { total: 0, rounds: 0 };
    const then = expected(point, sweep.atMs);
    const weight = weights.get(point)!;
    const channels = then.levelDbmv.length;
    for (let i = 0; i < channels; i++) {
      sum.total += weight[i]! * (sweep.levelDbmv[i]! - then.levelDbmv[i]!);
      sum.total += weight[channels + i]! * (sweep.merDb![i]! - then.merDb[i]!);
    }
    sum.rounds += 1 / points.length;
    totals.set(block, sum);
  }
  return [...totals.values()];
}
