export interface Hinge {
  /** Where the line bends, unit of x, and the stretch in which the bend fits nearly as well (80 %). */
  readonly at: number;
  readonly low: number;
  readonly high: number;
  /** Level before the bend and slope after it. */
  readonly before: number;
  readonly slope: number;
}

const CHI_SQUARE_80 = 1.642;

/**
 * Flat, then a straight ramp: the bend with the least squared error among the values of `x`, which rise.
 * The interval holds every bend whose error the noise could explain (likelihood ratio, one degree of freedom).
 * A bend at the first x means that the ramp is older than the data. Null with fewer than 5 values.
 */
export function hinge(x: readonly number[], y: readonly number[]): Hinge | null {
  if (x.length < 5) return null;
  const fits = x.slice(0, -2).map((bend) => fitBend(x, y, bend));
  const best = fits.reduce((a, b) => (b.error < a.error ? b : a));
  const allowed = best.error * (1 + CHI_SQUARE_80 / Math.max(1, x.length - 3)) + 1e-12;
  const near = fits.filter((fit) => fit.error <= allowed);
  return {
    at: best.bend,
    low: near[0]!.bend,
    high: near[near.length - 1]!.bend,
    before: best.before,
    slope: best.slope,
  };
}

function fitBend(x: readonly number[], y: readonly number[], bend: number) {
  const n = x.length;
  let sumU = 0;
  let sumY = 0;
  let sumUU = 0;
  let sumUY = 0;
  for (let i = 0; i < n; i++) {
    const u = Math.max(0, x[i]! - bend);
    sumU += u;
    sumY += y[i]!;
    sumUU += u * u;
    sumUY += u * y[i]!;
  }
  const slope = (n * sumUY - sumU * sumY) / (n * sumUU - sumU * sumU);
  const before = (sumY - slope * sumU) / n;
  let error = 0;
  for (let i = 0; i < n; i++) error += (y[i]! - before - slope * Math.max(0, x[i]! - bend)) ** 2;
  return { bend, before, slope, error };
}
