/**
 * Log likelihood ratio of a change of known shape and unknown onset against none, for independent standard normal
 * observations: the largest over onsets τ of Σ g(j)·z(τ+j) − g(j)²/2. `template` holds g(1), g(2), …; onsets further back
 * than its length are no longer looked at. With a constant template this is Page's CUSUM, its threshold times g.
 */
export function templateScan(template: Float64Array): (z: number) => number {
  const reach = template.length;
  const half = template.map((value) => (value * value) / 2);
  const sums = new Float64Array(reach);
  let newest = 0;

  return (z) => {
    newest = (newest + 1) % reach;
    sums[newest] = 0;
    let largest = 0;
    for (let age = 0, place = newest; age < reach; age++) {
      const sum = sums[place]! + template[age]! * z - half[age]!;
      sums[place] = sum;
      if (sum > largest) largest = sum;
      place = place === 0 ? reach - 1 : place - 1;
    }
    return largest;
  };
}

/**
 * Observations until the scan first reaches each of `thresholds` (rising), averaged over `runs` runs; `shift(t)` is the mean of
 * the t-th observation, from 1. Simulated: good to about 1/√runs.
 */
export function passageTimes(
  template: Float64Array,
  thresholds: readonly number[],
  runs: number,
  gaussian: () => number,
  shift: (t: number) => number,
): number[][] {
  return Array.from({ length: runs }, () => {
    const scan = templateScan(template);
    const passed: number[] = [];
    for (let t = 1; passed.length < thresholds.length; t++) {
      const value = scan(gaussian() + shift(t));
      while (passed.length < thresholds.length && value >= thresholds[passed.length]!) passed.push(t);
    }
    return passed;
  });
}
