import { normalCdf } from '../../api/trend/statistics/normal.ts';

/** Mann and Kendall's test for a trend in values that come in order of time, ties allowed for; after EPA QA/G-9S, section 4.3. */
export interface TrendTest {
  /** Pairs that rise less pairs that fall. */
  readonly s: number;
  /** Variance of `s` without a trend. */
  readonly variance: number;
  readonly z: number;
  /** Two-sided probability of so large a `z` without a trend. */
  readonly p: number;
}

/** Null with fewer than 3 values. */
export function mannKendall(values: readonly number[]): TrendTest | null {
  const n = values.length;
  if (n < 3) return null;
  let s = 0;
  const ties = new Map<number, number>();
  values.forEach((value, i) => {
    for (let j = i + 1; j < n; j++) s += Math.sign(values[j]! - value);
    ties.set(value, (ties.get(value) ?? 0) + 1);
  });
  let eighteenfold = n * (n - 1) * (2 * n + 5);
  for (const t of ties.values()) eighteenfold -= t * (t - 1) * (2 * t + 5);
  const variance = eighteenfold / 18;
  const z = variance > 0 ? (s - Math.sign(s)) / Math.sqrt(variance) : 0;
  return { s, variance, z, p: 2 * normalCdf(-Math.abs(z)) };
}
