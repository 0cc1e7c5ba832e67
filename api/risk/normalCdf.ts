/** Beyond this many standard deviations the answer is 0 or 1 to sixteen digits. */
const TAIL = 8.3;

/**
 * Probability that a standard normal value lies below `z`, by the series
 * Φ(z) = ½ + φ(z)·(z + z³/3 + z⁵/(3·5) + …), exact to about 1e-15.
 * After G. Marsaglia, "Evaluating the Normal Distribution", 2004.
 */
export function normalCdf(z: number): number {
  if (z < -TAIL) return 0;
  if (z > TAIL) return 1;
  let term = z;
  let sum = z;
  for (let odd = 3; Math.abs(term) > Math.abs(sum) * 1e-17 && odd < 400; odd += 2) {
    term *= (z * z) / odd;
    sum += term;
  }
  const value = 0.5 + sum * Math.exp(-0.5 * z * z) * (1 / Math.sqrt(2 * Math.PI));
  return Math.min(1, Math.max(0, value));
}
