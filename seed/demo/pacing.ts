import type { Pace } from '../simulator/schedule.ts';

const HOUR_MS = 3_600_000;
export const DAY_MS = 24 * HOUR_MS;

/** How far back the demo's history reaches from the moment it was first made. */
export const HISTORY_DAYS = 120;
/** The days after installation, from which baselines are made. */
export const BASELINE_DAYS = 6;
/** The last days are swept every hour, those before them every four. */
const RECENT_DAYS = 4;
const RECENT_INTERVAL_MS = HOUR_MS;
const OLDER_INTERVAL_MS = 4 * HOUR_MS;
/** A demo that rested longer than this starts again with a gap. */
const LONGEST_CATCH_UP_DAYS = HISTORY_DAYS;

/** Seconds between sweeps of a point when all is well, as its set-up says. */
export const INTERVAL_S = RECENT_INTERVAL_MS / 1000;

/** At what pace the time from `fromMs` to `toMs` is filled with sweeps, seen from `nowMs`. */
export function historyPaces(fromMs: number, toMs: number, nowMs: number): Pace[] {
  const start = Math.max(fromMs, nowMs - LONGEST_CATCH_UP_DAYS * DAY_MS);
  const recent = Math.min(toMs, Math.max(start, nowMs - RECENT_DAYS * DAY_MS));
  return [
    { fromMs: start, toMs: recent, intervalMs: OLDER_INTERVAL_MS },
    { fromMs: recent, toMs, intervalMs: RECENT_INTERVAL_MS },
  ];
}
