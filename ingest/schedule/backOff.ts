export interface RetryPauses {
  readonly firstMs: number;
  readonly mostMs: number;
}

/** No wish of a server keeps a sweep waiting for longer. */
const LONGEST_WISH_MS = 3_600_000;

/**
 * How long to wait after the n-th failure in a row, n from 1: twice as long each time, at random in the upper half,
 * so that many boxes don't come back together. A server's own wish is the least that is waited.
 */
export function backOffMs(
  failures: number,
  { firstMs, mostMs }: RetryPauses,
  wishMs: number | null,
  random: () => number,
): number {
  const wholeMs = Math.min(mostMs, firstMs * 2 ** Math.min(failures - 1, 30));
  const pauseMs = wholeMs * (0.5 + 0.5 * random());
  return wishMs === null ? pauseMs : Math.min(wishMs, LONGEST_WISH_MS) + 0.1 * pauseMs;
}
