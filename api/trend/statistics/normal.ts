/** Four fifths of a standard normal lie within so much of 0, its 90 % point. */
export const NORMAL_80 = 1.2816;

/** Density of the standard normal at `x`. */
export function normalDensity(x: number): number {
  return Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI);
}

/**
 * Probability that a standard normal lies at or below `x`: power series near the middle, continued fraction in
 * the tails (Abramowitz and Stegun 26.2.11 and 26.2.14), good to about 1e-14.
 */
export function normalCdf(x: number): number {
  const distance = Math.abs(x);
  const upper = distance < 4 ? 0.5 - halfArea(distance) : tail(distance);
  return x < 0 ? upper : 1 - upper;
}

function halfArea(x: number): number {
  let term = x;
  let sum = x;
  for (let i = 3; term > 1e-17 * sum; i += 2) {
    term *= (x * x) / i;
    sum += term;
  }
  return normalDensity(x) * sum;
}

function tail(x: number): number {
  let fraction = x;
  for (let i = 60; i > 0; i--) fraction = x + i / fraction;
  return normalDensity(x) / fraction;
}
