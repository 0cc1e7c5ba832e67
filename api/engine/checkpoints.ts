import { DAY_MS, HOUR_MS } from '../trend/types.ts';

/** A state to go back to: everything up to and including `atMs` is in it. */
export interface Checkpoint {
  readonly atMs: number;
  /** The site's trend, by `packTrend`. */
  readonly packed: Buffer;
}

/** The newest ones end an hour each: a box that reports a little late costs no more than that. */
const NEWEST_KEPT = 3;
/** A run over more than this is no live one: its sweeps were kept back somewhere. */
const CATCHING_UP_MS = 8 * HOUR_MS;
const DAILY_FOR_MS = 14 * DAY_MS;
const MONTH_MS = 30 * DAY_MS;

/**
 * Whether a state as of `lastMs` is kept before a sweep of `atMs` goes in: it ends a day, or it ends an hour and the sweep lies in the
 * newest one, `newestMs`, of those at hand. A run that catches up from long before, `startedMs`, keeps the days only.
 */
export function isWorthKeeping(
  lastMs: number,
  atMs: number,
  newestMs: number,
  startedMs: number | null,
): boolean {
  if (sameSpan(lastMs, atMs, HOUR_MS)) return false;
  if (!sameSpan(lastMs, atMs, DAY_MS)) return true;
  const isCatchingUp = startedMs === null || newestMs - startedMs > CATCHING_UP_MS;
  return !isCatchingUp && sameSpan(atMs, newestMs, HOUR_MS);
}

/**
 * Those of the checkpoints that are kept once sweeps up to `nowMs` are in: the newest 3, the last one of each day for 14 days,
 * before that the last one of each 30 days. `checkpoints` rise in time.
 */
export function keptCheckpoints<C extends { readonly atMs: number }>(
  checkpoints: readonly C[],
  nowMs: number,
): C[] {
  return checkpoints.filter(({ atMs }, i) => {
    const later = checkpoints[i + 1];
    if (later === undefined || i >= checkpoints.length - NEWEST_KEPT) return true;
    return !sameSpan(atMs, later.atMs, atMs >= nowMs - DAILY_FOR_MS ? DAY_MS : MONTH_MS);
  });
}

function sameSpan(aMs: number, bMs: number, spanMs: number): boolean {
  return Math.floor(aMs / spanMs) === Math.floor(bMs / spanMs);
}
