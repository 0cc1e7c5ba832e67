/**
 * Exact 90 % interval of a Poisson mean after `count` events: F. Garwood, Biometrika 28, 1936 (from memory).
 * @example poissonInterval(0) // [0, 3.00]
 */
export function poissonInterval(count: number): [low: number, high: number] {
  const low = count === 0 ? 0 : meanWith((mean) => 1 - atMost(count - 1, mean) < 0.05, count);
  const high = meanWith((mean) => atMost(count, mean) > 0.05, count);
  return [low, high];
}

/** The largest mean for which `holds`, which must hold for small means only. */
function meanWith(holds: (mean: number) => boolean, count: number): number {
  let [low, high] = [0, 2 * count + 10];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return low;
}

function atMost(count: number, mean: number): number {
  let logTerm = -mean;
  let sum = Math.exp(logTerm);
  for (let i = 1; i <= count; i++) {
    logTerm += Math.log(mean / i);
    sum += Math.exp(logTerm);
  }
  return Math.min(1, sum);
}
