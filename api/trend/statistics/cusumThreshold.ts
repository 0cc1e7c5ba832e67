import { cusumRunLength } from './cusumRunLength.ts';

const known = new Map<string, number>();

/**
 * Threshold, in standard deviations, at which a two-sided CUSUM with allowance `k` signals once in `runLength`
 * observations when nothing has changed. Both are rounded (`k` to tenths, up to 6; `runLength` to powers of two), so that
 * the few answers are worked out once.
 */
export function cusumThreshold(k: number, runLength: number): number {
  const allowance = Math.min(6, Math.max(0.1, Math.round(k * 10) / 10));
  const log2 = Math.max(3, Math.round(Math.log2(runLength)));
  const key = `${allowance} ${log2}`;
  const found = known.get(key) ?? search(allowance, 2 ** log2);
  known.set(key, found);
  return found;
}

function search(k: number, runLength: number): number {
  let low = 0.01;
  let high = 16 / k;
  for (let i = 0; i < 14; i++) {
    const middle = (low + high) / 2;
    if (cusumRunLength(k, middle, 0) < runLength) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
