import { longestGapMs } from '../../ingest/schedule/longestGapMs.ts';
import { createSchedule, type Schedule, type ScheduleRule } from '../../ingest/schedule/schedule.ts';
import type { ProbeSchedule } from '../../ingest/store/schema.ts';

/** Probes of one interval lie evenly over the whole of it, at most five minutes after the round time. */
const SPREAD = 1;

/** When a probe is due: the round times of the zone's clock, each put back by the probe's own place. */
export function probeTimes(schedule: ProbeSchedule, zone: string, place: number): Schedule {
  const rule: ScheduleRule =
    schedule.kind === 'every' ? { kind: 'every', intervalMs: schedule.intervalS * 1000 } : schedule;
  return createSchedule({ rule, zone, place, spread: SPREAD });
}

/**
 * Longest time between two readings, whole seconds: what a point's sweeps are due by, so that a schedule which rests at night is not
 * taken for silence. Null when the schedule has no two times to come.
 */
export function longestGapS(schedule: ProbeSchedule, zone: string, afterMs: number): number | null {
  if (schedule.kind === 'every') return schedule.intervalS;
  const gapMs = longestGapMs(schedule.expression, zone, afterMs);
  return gapMs === null ? null : Math.round(gapMs / 1000);
}
