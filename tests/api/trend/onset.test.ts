import { expect, test } from 'vitest';
import { bandBasis } from '../../../api/trend/bandBasis.ts';
import { grownBy } from '../../../api/trend/slow/growth.ts';
import { groundOf, looksOf, type SlowShape } from '../../../api/trend/slow/looks.ts';
import { nuisanceOf } from '../../../api/trend/slow/nuisance.ts';
import { refineOnset } from '../../../api/trend/slow/onset.ts';
import { byFeature } from '../../../api/trend/types.ts';
import nile from '../../reference/nile.json' with { type: 'json' };
import { normalNoise } from './noise.ts';

const BLOCKS = 160;
const NOISE_DB = 0.05;
const CORRELATION = 0.1;
const index = Array.from({ length: BLOCKS }, (_, block) => block);
const freqMhz = Array.from({ length: 80 }, (_, i) => 57 + 6 * i);
const { shapes } = bandBasis(
  freqMhz,
  freqMhz.map(() => true),
  57,
  531,
);

/** What is said of a flat ramp that begins part of a block after `fromBlock`, in noise. */
function onsetOf(seed: number, ratePerDay: number, fromBlock: number) {
  const normal = normalNoise(seed);
  const level = new Float64Array(BLOCKS);
  let wander = normal();
  for (const block of index) {
    wander = CORRELATION * wander + Math.sqrt(1 - CORRELATION ** 2) * normal();
    level[block] = NOISE_DB * wander + ratePerDay * grownBy('ramp', fromBlock, block);
  }
  const ground = groundOf({
    index,
    values: byFeature((feature) => (feature === 'level' ? level : level.map(() => 0.01 * normal()))),
    priorVariance: byFeature((feature) => (feature === 'level' ? NOISE_DB ** 2 : 1e-4)),
    alone: false,
    breaks: [],
    nuisance: nuisanceOf(index, [], []),
  })!;
  const isFlatRamp = ({ kind, shape }: { kind: string; shape: SlowShape }) =>
    kind === 'ramp' && shape === 'flat';
  const scanned = looksOf(ground, shapes)
    .filter(isFlatRamp)
    .reduce((a, b) => (Math.abs(b.z) > Math.abs(a.z) ? b : a));
  return refineOnset(ground, shapes, scanned);
}

test.each([
  { rate: 0.05, days: 16.1 },
  { rate: 0.1, days: 9.3 },
  { rate: 0.1, days: 26.4 },
  { rate: 0.3, days: 20.2 },
])('about four in five intervals hold the truth: $rate dB a day for $days days', ({ rate, days }) => {
  const TRIALS = 150;
  const fromBlock = BLOCKS - 4 * days;
  const held = { onset: 0, size: 0, rate: 0 };
  for (let seed = 1; seed <= TRIALS; seed++) {
    const onset = onsetOf(seed, -rate, fromBlock);
    const holds = ([low, high]: readonly [number, number], truth: number) =>
      low <= truth && truth <= high ? 1 : 0;
    held.onset += holds(onset.fromBlock, fromBlock);
    held.size += holds(onset.sizeDb, -rate * days);
    held.rate += holds(onset.rate, -rate);
  }
  // Wider by an eleventh than this clean noise asks for: 1.4 standard errors, so 84 % are to be expected, with a standard error of 3 %.
  expect(held.onset / TRIALS).toBeGreaterThan(0.74);
  expect(held.onset / TRIALS).toBeLessThan(0.92);
  // Size and rate allow for a shape that doesn't quite fit as well.
  expect(held.size / TRIALS).toBeGreaterThan(0.74);
  expect(held.rate / TRIALS).toBeGreaterThan(0.74);
});

test('an onset between two that a scan tries is found to the block', () => {
  // 106 blocks before the end lies between 99 and 114.
  const onsets = Array.from(
    { length: 20 },
    (_, seed) => onsetOf(seed + 1, -0.3, BLOCKS - 106).best.fromBlock,
  );
  const mean = onsets.reduce((sum, block) => sum + block, 0) / onsets.length;
  expect(Math.abs(mean - (BLOCKS - 106))).toBeLessThan(0.7);
});

/** Until 1950, in 10⁸ m³ a year: later the change lies farther back than a step is looked for. */
const NILE = nile.values.slice(0, 80);

test('the fall of the Nile’s flow is dated to 1898 or 1899, as everybody dates it', () => {
  const years = NILE.map((_, i) => 1871 + i);
  const mean = NILE.reduce((sum, flow) => sum + flow, 0) / NILE.length;
  const flow = Float64Array.from(NILE, (value) => (value - mean) / 1000);
  const ground = groundOf({
    index: years,
    values: byFeature((feature) => (feature === 'level' ? flow : flow.map(() => 0))),
    priorVariance: byFeature((feature) => (feature === 'level' ? 0.02 : 1e-4)),
    alone: false,
    breaks: [],
    nuisance: nuisanceOf(years, [], []),
  })!;
  const scanned = looksOf(ground, shapes)
    .filter(({ kind, shape }) => kind === 'step' && shape === 'flat')
    .reduce((a, b) => (Math.abs(b.z) > Math.abs(a.z) ? b : a));
  const { best, fromBlock, sizeDb } = refineOnset(ground, shapes, scanned);
  // R: the two means that leave the least squares part after 1898 and differ by −258.2.
  expect(best.fromBlock).toBeGreaterThanOrEqual(1898);
  expect(best.fromBlock).toBeLessThanOrEqual(1899.5);
  expect(fromBlock[0]).toBeLessThan(1899);
  expect(sizeDb[0]).toBeLessThan(-0.2582);
  expect(sizeDb[1]).toBeGreaterThan(-0.2582);
  expect(Math.abs(best.z)).toBeGreaterThan(4);
});
