import { DAY_MS, HOUR_MS } from '../trend/types.ts';

/** A state to go back to: everything up to and including `atMs` is in it. */
export interface Checkpoint {
  readonly atMs: number;
  /** The site's trend. */
  readonly json: string;
}

/** Every checkpoint of the last hours is kept: a box that reports a little late costs no more than an hour. */
export const HOURLY_FOR_MS = 3 * HOUR_MS;
const DAILY_FOR_MS = 14 * DAY_MS;
const MONTH_MS = 30 * DAY_MS;

/** Whether a state as of `lastMs` is worth keeping before a sweep of `atMs` goes in: it ends a day, or one of the last hours. */
export function isWorthKeeping(lastMs: number, atMs: number, newestMs: number): boolean {
  if (sameSpan(lastMs, atMs, HOUR_MS)) return false;
  return !sameSpan(lastMs, atMs, DAY_MS) || lastMs >= newestMs - HOURLY_FOR_MS;
}

/**
 * Those of the checkpoints that are kept once sweeps up to `newestMs` are in: all of the last 3 hours, the last one of each day for 14
 * days, before that the last one of each 30 days. `checkpoints` rise in time.
 */
export function keptCheckpoints<C extends { readonly atMs: number }>(
  checkpoints: readonly C[],
  newestMs: number,
): C[] {
  return checkpoints.filter(({ atMs }, i) => {
    if (atMs >= newestMs - HOURLY_FOR_MS) return true;
    const later = checkpoints[i + 1];
    return (
      later === undefined || !sameSpan(atMs, later.atMs, atMs >= newestMs - DAILY_FOR_MS ? DAY_MS : MONTH_MS)
    );
  });
}

function sameSpan(aMs: number, bMs: number, spanMs: number): boolean {
  return Math.floor(aMs / spanMs) === Math.floor(bMs / spanMs);
}
