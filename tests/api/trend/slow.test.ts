import { expect, test } from 'vitest';
import { bandBasis } from '../../../api/trend/bandBasis.ts';
import { classify } from '../../../api/trend/shape.ts';
import { contrastsOf } from '../../../api/trend/slow/contrast.ts';
import { groundOf, looksOf } from '../../../api/trend/slow/looks.ts';
import { blockNoise } from '../../../api/trend/slow/noise.ts';
import { dot, nuisanceOf, withoutNuisance } from '../../../api/trend/slow/nuisance.ts';
import { scanSite } from '../../../api/trend/slow/scan.ts';
import type { PointTrend } from '../../../api/trend/state.ts';
import type { BandShape, Features, SitePoint } from '../../../api/trend/types.ts';
import { byFeature } from '../../../api/trend/types.ts';
import { normalNoise } from './noise.ts';

const counted = (blocks: number, first = 0) => Array.from({ length: blocks }, (_, i) => first + i);

test('what is left of a ramp beside nuisance is what R leaves', () => {
  // R 4.2.2 (lm.fit), priors as rows below the blocks:
  //   b <- 100:111; ambient <- c(18,22,27,21,17,24,29,20,16,23,28,22); y <- 0.05*(0:11) + 0.01*((1:12)^2 %% 7)
  //   z <- (ambient - mean(ambient)) / sqrt(mean((ambient - mean(ambient))^2))
  //   X <- cbind(1, z, sapply(1:3, function(p) (b %% 4 == p) - (b %% 4 == 0)), b >= 106)
  //   lm.fit(rbind(X, diag(0.06 / c(0.5, 0.2, 0.3, 0.3, 0.3, Inf))), c(y, rep(0, 6)))$residuals
  const left: number[] = [
    -0.1322179, -0.069252, 0.01957364, -0.00147908, 0.1108256, 0.07466084, -0.1279522, -0.09987417,
    0.02243055, -0.00373425, 0.1050914, 0.1040387, -0.01759257, -0.01582458, -0.00318163, 0.02162708,
    -0.00823576, 0,
  ];
  const ambientC = [18, 22, 27, 21, 17, 24, 29, 20, 16, 23, 28, 22];
  const ramp = counted(12).map((i) => 0.05 * i + 0.01 * ((i + 1) ** 2 % 7));
  const rest = withoutNuisance(ramp, nuisanceOf(counted(12, 100), [ambientC], [106]));
  expect(rest).toHaveLength(left.length);
  left.forEach((value, i) => {
    expect(rest[i]).toBeCloseTo(value, 7);
  });
});

test('what is left lies across everything that was taken out', () => {
  const nuisance = nuisanceOf(counted(40), [counted(40).map((i) => 20 + 5 * Math.sin(i / 3))], [17]);
  const rest = withoutNuisance(
    counted(40).map((i) => i * i),
    nuisance,
  );
  expect(nuisance.columns).toHaveLength(6);
  for (const column of nuisance.columns) expect(dot(rest, column)).toBeCloseTo(0, 6);
});

test('a thermometer that tells of fewer than half the blocks explains nothing', () => {
  const half = counted(20).map((i) => (i < 9 ? 20 + i : null));
  expect(nuisanceOf(counted(20), [half], []).columns).toHaveLength(4);
});

const shapes = bandBasis(
  counted(80).map((i) => 57 + 12 * i),
  counted(80).map(() => true),
  57,
  1005,
).shapes;

test.each(['flat', 'cable', 'low-end'] as const)('a %s ramp without noise is read to the letter', (shape) => {
  const index = counted(60);
  const from = 35;
  const rampDb = index.map((i) => (i < from ? 0 : (-0.2 * (i - from + 0.5)) / 4));
  const perDb: Features = { ...shapes[shape], mer: 0 };
  const looks = looksOf(
    groundOf({
      index,
      values: byFeature((feature) => Float64Array.from(rampDb, (db) => db * perDb[feature])),
      priorVariance: byFeature(() => 1e-4),
      alone: false,
      breaks: [],
      nuisance: nuisanceOf(index, [], []),
    })!,
    shapes,
  );
  const best = looks.reduce((a, b) => (Math.abs(b.z) > Math.abs(a.z) ? b : a));
  expect(best).toMatchObject({ kind: 'ramp', shape, fromBlock: from });
  expect(best.sizeDb).toBeCloseTo((-0.2 * (60 - from)) / 4, 9);
});

/** First-order autoregression of unit 0.05 dB. */
function wander(seed: number, blocks: number, correlation: number): number[] {
  const normal = normalNoise(seed);
  let value = normal();
  return counted(blocks).map(() => {
    value = correlation * value + Math.sqrt(1 - correlation ** 2) * normal();
    return 0.05 * value;
  });
}

// 40 series of 180 blocks. The correlation is shrunk with the weight of 30 blocks to 0.7 alone and 0.1 across a hop, so
// (180·φ + 30·usual)/210 is to be expected; its mean scatters by √((1 − φ²)/180/40) = 0.01. Of the long-run variance the
// standard error is √(2/180 + (2/(1 − φ²))²·(1 − φ²)/180)/√40, below 4 %.
test.each([
  { correlation: 0.5, alone: true, shrunk: 0.529 },
  { correlation: 0.5, alone: false, shrunk: 0.443 },
  { correlation: 0, alone: false, shrunk: 0.014 },
])('noise of correlation $correlation is known again, alone: $alone', ({ correlation, alone, shrunk }) => {
  const index = counted(180);
  const nuisance = nuisanceOf(index, [], []);
  const found = counted(40).map((seed) =>
    blockNoise(withoutNuisance(wander(seed + 1, 180, correlation), nuisance), index, nuisance, 0.0025, alone),
  );
  const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  expect(Math.abs(mean(found.map((noise) => noise.correlation)) - shrunk)).toBeLessThan(0.03);
  const expected = (0.0025 * (1 + shrunk)) / (1 - shrunk);
  const ratio = mean(found.map(({ longRunVariance }) => longRunVariance)) / expected;
  expect(ratio).toBeGreaterThan(0.88);
  expect(ratio).toBeLessThan(1.12);
});

test('gaps between blocks tell nothing of correlation', () => {
  const index = counted(60).map((i) => 2 * i);
  const nuisance = nuisanceOf(index, [], []);
  const noise = blockNoise(withoutNuisance(wander(1, 60, 0.9), nuisance), index, nuisance, 0.0025, true);
  expect(noise.correlation).toBeCloseTo(0.7, 9);
});

const tree: SitePoint[] = [1, 2, 3, 4].map((pointId) => ({
  pointId,
  fedBy: pointId === 1 ? null : pointId === 4 ? 3 : 1,
  isHandoff: pointId === 1,
  correctsItself: false,
  correctionWindowDb: null,
}));
const all = new Set([1, 2, 3, 4]);

/** As histories keep them. */
const inCdb = (values: readonly number[]) => values.map((db) => Math.round(100 * db));

/** Points of which nothing is known but these MER blocks, dB. */
function points(mer: Record<number, readonly number[]>): Record<number, PointTrend> {
  return Object.fromEntries(
    Object.entries(mer).map(([id, values]) => [
      id,
      {
        history: {
          first: 0,
          meanCdb: { ...byFeature(() => values.map(() => 0)), mer: inCdb(values) },
          ambient: values.map(() => null),
          breaks: [],
        },
      } as unknown as PointTrend,
    ]),
  );
}

const silent = points({ 1: [], 2: [], 3: [], 4: [] });

test('where the wander is all, a contrast is the mean of the points reached less that of the others', () => {
  const [handoff, , branch, end] = contrastsOf(tree, silent, all, Number.POSITIVE_INFINITY, false);
  expect(branch).toMatchObject({ hopTo: 3, plus: [3, 4], members: [1, 2, 3, 4], alone: false });
  close(branch!.weights.level, [-0.5, -0.5, 0.5, 0.5], 5);
  close(end!.weights.level, [-1 / 3, -1 / 3, -1 / 3, 1], 5);
  expect(handoff!.alone).toBe(true);
  close(handoff!.weights.level, [0.25, 0.25, 0.25, 0.25], 5);
});

test('where nothing is shared, a contrast is the mean of the points reached', () => {
  const [, , branch, end] = contrastsOf(tree, silent, all, Number.POSITIVE_INFINITY, true);
  close(branch!.weights.mer, [0, 0, 0.5, 0.5], 9);
  close(end!.weights.mer, [0, 0, 0, 1], 9);
});

test('what points are seen to share is weighed between the two, and the change counts once', () => {
  const shared = wander(9, 120, 0);
  const mer = Object.fromEntries(
    [1, 2, 3, 4].map((id) => [id, wander(10 + id, 120, 0).map((own, i) => own + shared[i]!)]),
  );
  const weights = contrastsOf(tree, points(mer), all, Number.POSITIVE_INFINITY, true)[2]!.weights.mer;
  expect(weights[2]! + weights[3]!).toBeCloseTo(1, 9);
  // ω = σ: 1′Σ⁻¹ with Σ = I + 11′ has −2/5 at the others and 3/5 at those reached, scaled so that these add up to one.
  expect(weights[0]! + weights[1]!).toBeGreaterThan(-0.8);
  expect(weights[0]! + weights[1]!).toBeLessThan(-0.5);
});

test('level is not compared across gear that corrects itself, MER is', () => {
  const geared = tree.map((point) => (point.pointId === 3 ? { ...point, correctsItself: true } : point));
  const level = contrastsOf(geared, silent, all, Number.POSITIVE_INFINITY, false).find(
    ({ hopTo }) => hopTo === 4,
  )!;
  const mer = contrastsOf(geared, silent, all, Number.POSITIVE_INFINITY, true).find(
    ({ hopTo }) => hopTo === 4,
  )!;
  expect(level.members).toEqual([3, 4]);
  expect(mer.members).toEqual([1, 2, 3, 4]);
});

test("the feed's wander, which gear with a low input lets into MER, hides no loss ahead of that gear", () => {
  const normal = normalNoise(77);
  const feed = wander(31, 100, 0.9).map((value) => 6 * value);
  const behind = () =>
    feed.map((level, i) => 0.8 * level - 0.04 * Math.max(0, i - 70) * 0.25 + 0.04 * normal());
  const histories = points({ 1: feed.map(() => 0.04 * normal()), 3: behind(), 4: behind() });
  histories[1]!.history.meanCdb.level = inCdb(feed);
  for (const point of Object.values(histories))
    Object.assign(point, {
      shapes,
      gapMs: 900_000,
      quick: byFeature(() => ({ variance: 0.01, products: 0, squares: 1 })),
    });
  const geared = tree
    .filter(({ pointId }) => pointId !== 2)
    .map((point) => ({ ...point, correctsItself: point.pointId === 3 }));
  const merAt = (site: readonly SitePoint[]) =>
    scanSite(site, histories, 99, []).filter(({ best }) => best.shape === 'mer');
  const [first] = merAt(geared);
  expect(first!.contrast.hopTo).toBe(3);
  expect(first!.best.z).toBeLessThan(-8);
  const plain = merAt(geared.map((point) => ({ ...point, correctsItself: false })));
  expect(Math.max(...plain.map(({ best }) => Math.abs(best.z)))).toBeLessThan(6);
});

function close(actual: readonly number[], expected: readonly number[], digits: number): void {
  expect(actual).toHaveLength(expected.length);
  expected.forEach((value, i) => {
    expect(actual[i]).toBeCloseTo(value, digits);
  });
}

const errorDb = byFeature(() => 0.1);

test.each(['flat', 'cable', 'low-end'] as const)('3 dB of %s are called so', (shape: BandShape) => {
  const change = byFeature((feature) => (feature === 'mer' ? 0 : -3 * shapes[shape][feature]));
  const told = classify(change, errorDb, shapes, 'level');
  expect(told).toMatchObject({ shape, metric: shape === 'flat' ? 'level' : 'tilt' });
  expect(told.odds![shape]).toBeGreaterThan(0.99);
});

test('between shapes the odds are those of their likelihoods', () => {
  // 0.3 dB flat, 3 standard errors: χ² explained is 9, and of a shape with per-dB features b (Σ b·x)²/Σ b².
  const change: Features = { level: -0.3, tilt: 0, bow: 0, lowEnd: 0, mer: 0 };
  const gain = (shape: BandShape) => {
    const { level, tilt, bow, lowEnd } = shapes[shape];
    return (level * 3) ** 2 / (level ** 2 + tilt ** 2 + bow ** 2 + lowEnd ** 2);
  };
  const weight = (shape: BandShape) => Math.exp((gain(shape) - 9) / 2);
  const total = weight('flat') + weight('cable') + weight('low-end');
  const { odds } = classify(change, errorDb, shapes, 'level');
  expect(odds!.flat).toBeCloseTo(1 / total, 2);
  expect(odds!.cable).toBeCloseTo(weight('cable') / total, 2);
});

test('MER that falls alone has no shape in level', () => {
  const change: Features = { level: 0.1, tilt: 0, bow: 0, lowEnd: 0, mer: -3 };
  expect(classify(change, errorDb, shapes, 'mer')).toEqual({ shape: null, metric: 'mer', odds: null });
});
