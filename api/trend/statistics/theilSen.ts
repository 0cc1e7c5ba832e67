export interface SlopeEstimate {
  /** Median of the slopes of all pairs, unit of y per unit of x. */
  readonly slope: number;
  readonly low: number;
  readonly high: number;
  /** Median of y less slope times median of x. */
  readonly intercept: number;
}

/**
 * Theil-Sen slope with Sen's interval: the slopes whose ranks lie `z` standard deviations of Kendall's S either
 * side of the middle (P. K. Sen, JASA 63, 1968). `varianceS` is that of {@link mannKendall}; `z` 1.2816 makes an
 * 80 % interval. Null with fewer than two distinct x.
 */
export function theilSen(
  x: readonly number[],
  y: readonly number[],
  varianceS = 0,
  z = 1.2816,
): SlopeEstimate | null {
  const pairs = new Float64Array((x.length * (x.length - 1)) / 2);
  let count = 0;
  for (let i = 0; i < x.length; i++) {
    for (let j = i + 1; j < x.length; j++) {
      if (x[j] !== x[i]) pairs[count++] = (y[j]! - y[i]!) / (x[j]! - x[i]!);
    }
  }
  if (count === 0) return null;
  const slopes = pairs.subarray(0, count).sort();
  const slope = middle(slopes);
  const reach = z * Math.sqrt(varianceS);
  const low = slopes[Math.max(0, Math.round((slopes.length - reach) / 2) - 1)]!;
  const high = slopes[Math.min(slopes.length - 1, Math.round((slopes.length + reach) / 2))]!;
  return {
    slope,
    low: Math.min(low, slope),
    high: Math.max(high, slope),
    intercept: middle(Float64Array.from(y).sort()) - slope * middle(Float64Array.from(x).sort()),
  };
}

function middle(sorted: Float64Array): number {
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
