import { Cron } from 'croner';
import { zoneOffsetMs } from './zoneOffset.ts';

/** When a probe reads: each interval by the zone's clock, or by a cron expression. */
export type ScheduleRule =
  | { readonly kind: 'every'; readonly intervalMs: number }
  | { readonly kind: 'cron'; readonly expression: string };

export interface ScheduleOptions {
  readonly rule: ScheduleRule;
  /** IANA name of the zone whose clock counts. */
  readonly zone: string;
  /** Where in its spread this probe stands, 0 up to 1; the same at every start. */
  readonly place: number;
  /** Share of the gap between two times that probes are spread over, 0 to 1. */
  readonly spread: number;
}

export interface Schedule {
  /** The first time after `afterMs`, milliseconds since 1970 UTC; null when there is none any more. */
  next(afterMs: number): number | null;
}

/** Whoever reads once a day doesn't want it an hour late. */
const WIDEST_SPREAD_MS = 5 * 60_000;

/**
 * The times of a probe: the clock's round ones, each put back by the probe's stable part of the spread. Throws when
 * the cron expression can't be read.
 */
export function createSchedule({ rule, zone, place, spread }: ScheduleOptions): Schedule {
  const occurrence =
    rule.kind === 'every' ? everyOccurrence(rule.intervalMs, zone) : cronOccurrence(rule.expression, zone);
  const delayed = (atMs: number, followingMs: number | null) => {
    const gapMs = followingMs === null ? WIDEST_SPREAD_MS : followingMs - atMs;
    return atMs + Math.floor(place * Math.min(WIDEST_SPREAD_MS, spread * gapMs));
  };
  return {
    next(afterMs) {
      // A round time that has passed may still be ahead with its delay.
      let roundMs = occurrence(afterMs - WIDEST_SPREAD_MS - 1);
      while (roundMs !== null) {
        const following = occurrence(roundMs);
        const dueMs = delayed(roundMs, following);
        if (dueMs > afterMs) return dueMs;
        roundMs = following;
      }
      return null;
    },
  };
}

/** The next time after a moment at which the local clock shows a whole multiple of the interval. */
function everyOccurrence(intervalMs: number, zone: string): (afterMs: number) => number {
  return (afterMs) => {
    const offsetMs = zoneOffsetMs(zone, afterMs);
    const localMs = afterMs + offsetMs;
    const nextMs = afterMs + intervalMs - (((localMs % intervalMs) + intervalMs) % intervalMs);
    // The clocks may change on the way: what is meant is the clock's time.
    const shiftMs = (offsetMs - zoneOffsetMs(zone, nextMs)) % intervalMs;
    const shiftedMs = nextMs + shiftMs;
    return shiftedMs > afterMs ? shiftedMs : shiftedMs + intervalMs;
  };
}

function cronOccurrence(expression: string, zone: string): (afterMs: number) => number | null {
  const cron = new Cron(expression, { timezone: zone, paused: true, mode: '5-part' });
  return (afterMs) => cron.nextRun(new Date(afterMs))?.getTime() ?? null;
}
