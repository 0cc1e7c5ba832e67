import type { MeterNoise } from '../../seed/simulator/plant.ts';
import { cleanReadings } from './cleanReadings.ts';
import type { FleetSite } from './fleet.ts';

const BAND_CENTRE_MHZ = 528;
const BAND_WIDTH_MHZ = 948;

/** What a change does to a site: dB by point, levels first and MER behind them. */
export type Signature = ReadonlyMap<string, Float64Array>;

/** A part of the noise that readings share: how it spreads over a point's readings and its standard deviation, dB. */
interface SharedNoise {
  readonly shape: Signature;
  readonly sdDb: number;
}

/** What a site with the given faults reads less what it reads without them, by a perfect meter at `atMs`. */
export function signatureOf(
  site: FleetSite,
  faults: FleetSite['simulated']['faults'],
  atMs: number,
): Signature {
  const without = cleanReadings({ ...site.simulated, faults: [] });
  const within = cleanReadings({ ...site.simulated, faults });
  return new Map(
    site.evaluated.points.map(({ name }) => {
      const [then, now] = [without(name, atMs), within(name, atMs)];
      return [
        name,
        Float64Array.from([
          ...now.levelDbmv.map((value, i) => value - then.levelDbmv[i]!),
          ...now.merDb.map((value, i) => value - then.merDb[i]!),
        ]),
      ];
    }),
  );
}

/**
 * Weights Σ⁻¹s of the best linear statistic of one round of sweeps at all points about a change that lasts: Σ is the covariance
 * of the readings with serial correlation taken in by its long-run form, (1+ρ)/(1−ρ) times the variance. `atMs` is the moment at
 * which the plant is looked at.
 */
export function lastingWeights(site: FleetSite, signature: Signature, atMs: number): Signature {
  const { meter, feed } = site.simulated;
  const shared = site.evaluated.points.flatMap(({ name }) =>
    sharedNoise(site, name, (noise) => longRunSd(site, noise)),
  );
  const wander = signatureOf(site, [aboutFeed(atMs)], atMs);
  return weightsOf(signature, meter, [...shared, { shape: wander, sdDb: longRunSd(site, feed.wander) }]);
}

/** Information s'Σ⁻¹s of such a round: its root is the shift of the statistic in its own standard deviations. */
export function lastingInformation(site: FleetSite, signature: Signature, atMs: number): number {
  return dot(signature, lastingWeights(site, signature, atMs));
}

/**
 * Information of the first sweep at one point after a change: of what the readings share, only what the sweep before doesn't
 * foretell counts as noise, (1−ρ²) times the variance.
 */
export function firstInformation(site: FleetSite, signature: Signature, point: string): number {
  const own: Signature = new Map([[point, signature.get(point)!]]);
  const shared = sharedNoise(site, point, ({ sd, ...noise }) => {
    const rho = correlationAt(site, noise);
    return sd * Math.sqrt(1 - rho * rho);
  });
  return information(own, site.simulated.meter, shared);
}

/** Information of one more sweep at one point, the change having been there before. */
export function furtherInformation(site: FleetSite, signature: Signature, point: string): number {
  const own: Signature = new Map([[point, signature.get(point)!]]);
  return information(
    own,
    site.simulated.meter,
    sharedNoise(site, point, (noise) => longRunSd(site, noise)),
  );
}

function sharedNoise(
  site: FleetSite,
  point: string,
  sdOf: (noise: MeterNoise['sharedLevel']) => number,
): SharedNoise[] {
  const { meter } = site.simulated;
  const { channels } = site.evaluated;
  const only = (level: (mhz: number) => number, mer: number): Signature =>
    new Map([
      [
        point,
        Float64Array.from([...channels.map(({ centreMhz }) => level(centreMhz)), ...channels.map(() => mer)]),
      ],
    ]);
  return [
    { shape: only(() => 1, 0), sdDb: sdOf(meter.sharedLevel) },
    { shape: only((mhz) => (mhz - BAND_CENTRE_MHZ) / BAND_WIDTH_MHZ, 0), sdDb: sdOf(meter.sharedTilt) },
    { shape: only(() => 0, 1), sdDb: sdOf(meter.sharedMer) },
  ];
}

/** Per sweep; a noise that holds longer than a sweep's interval counts for as many sweeps as it holds. */
function longRunSd(site: FleetSite, noise: MeterNoise['sharedLevel']): number {
  const rho = correlationAt(site, noise);
  const held = Math.max(1, noise.stepMs / site.evaluated.intervalMs);
  return noise.sd * Math.sqrt((held * (1 + rho)) / (1 - rho));
}

/** From one sweep to the next, or from step to step where a step is longer. */
function correlationAt(
  site: FleetSite,
  { stepMs, correlation }: Omit<MeterNoise['sharedLevel'], 'sd'>,
): number {
  return correlation ** Math.max(1, site.evaluated.intervalMs / stepMs);
}

function aboutFeed(atMs: number): FleetSite['simulated']['faults'][number] {
  return {
    cause: 'provider feed low',
    shape: { kind: 'flat' },
    place: 'provider',
    onsetMs: atMs,
    endMs: null,
    sizeDb: 1,
    overDays: 0,
  };
}

function information(signature: Signature, meter: MeterNoise, shared: readonly SharedNoise[]): number {
  return dot(signature, weightsOf(signature, meter, shared));
}

/** Σ⁻¹s for Σ = D + Σ σ²·u·u', by the Woodbury identity. */
function weightsOf(signature: Signature, meter: MeterNoise, shared: readonly SharedNoise[]): Signature {
  const scaled = shared.map(({ shape, sdDb }) => times(shape, sdDb));
  const whitened = scaled.map((shape) => withoutOwnNoise(shape, meter));
  const right = whitened.map((shape) => dot(signature, shape));
  const matrix = scaled.map((row, i) => whitened.map((column, j) => (i === j ? 1 : 0) + dot(row, column)));
  const solution = solveSymmetric(matrix, right);
  const left = new Map([...signature].map(([point, values]) => [point, values.slice()]));
  scaled.forEach((shape, k) => {
    for (const [point, values] of left) {
      const part = shape.get(point);
      if (part) for (let i = 0; i < values.length; i++) values[i]! -= solution[k]! * part[i]!;
    }
  });
  return withoutOwnNoise(left, meter);
}

function times(signature: Signature, factor: number): Signature {
  return new Map([...signature].map(([point, values]) => [point, values.map((value) => value * factor)]));
}

/** D⁻¹s: each reading over the variance of its own noise and rounding. */
function withoutOwnNoise(signature: Signature, meter: MeterNoise): Signature {
  const rounding = meter.resolutionDb ** 2 / 12;
  const [levelVariance, merVariance] = [meter.levelSdDb ** 2 + rounding, meter.merSdDb ** 2 + rounding];
  return new Map(
    [...signature].map(([point, values]) => [
      point,
      values.map((value, i) => value / (i < values.length / 2 ? levelVariance : merVariance)),
    ]),
  );
}

/** Sum of products over the points that both have. */
function dot(a: Signature, b: Signature): number {
  let sum = 0;
  for (const [point, left] of a) {
    const right = b.get(point);
    if (right) for (let i = 0; i < left.length; i++) sum += left[i]! * right[i]!;
  }
  return sum;
}

/** Cholesky, for the positive definite matrices here. */
function solveSymmetric(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const size = right.length;
  const lower = matrix.map((row) => [...row]);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = lower[i]![j]!;
      for (let k = 0; k < j; k++) sum -= lower[i]![k]! * lower[j]![k]!;
      lower[i]![j] = i === j ? Math.sqrt(sum) : sum / lower[j]![j]!;
    }
  }
  const result = [...right];
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) result[i]! -= lower[i]![k]! * result[k]!;
    result[i]! /= lower[i]![i]!;
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let k = i + 1; k < size; k++) result[i]! -= lower[k]![i]! * result[k]!;
    result[i]! /= lower[i]![i]!;
  }
  return result;
}
