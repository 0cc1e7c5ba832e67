import { normalCdf } from './normal.ts';

export interface TrendTest {
  /** Pairs that rise less pairs that fall. */
  readonly s: number;
  /** Variance of `s` without a trend, corrected for ties. */
  readonly variance: number;
  readonly z: number;
  /** Two-sided probability of so large a `z` without a trend. */
  readonly p: number;
}

/**
 * Mann-Kendall test for a monotonic trend in `values`, in time order. `inflation` multiplies the variance to
 * allow for serial correlation (1 when the values are independent). Null with fewer than 3 values.
 * After EPA QA/G-9S, section 4.3.
 */
export function mannKendall(values: readonly number[], inflation = 1): TrendTest | null {
  const n = values.length;
  if (n < 3) return null;
  let s = 0;
  const ties = new Map<number, number>();
  for (let i = 0; i < n; i++) {
    const value = values[i]!;
    for (let j = i + 1; j < n; j++) s += Math.sign(values[j]! - value);
    ties.set(value, (ties.get(value) ?? 0) + 1);
  }
  let variance = n * (n - 1) * (2 * n + 5);
  for (const t of ties.values()) variance -= t * (t - 1) * (2 * t + 5);
  variance = (variance / 18) * inflation;
  const z = variance > 0 ? (s - Math.sign(s)) / Math.sqrt(variance) : 0;
  return { s, variance, z, p: 2 * normalCdf(-Math.abs(z)) };
}
