import type { ProbeSchedule } from '../../ingest/store/schema.ts';
import { InvalidInput } from '../errors.ts';
import { longestGapS, probeTimes } from './probeTimes.ts';

/** What a point's sweeps can be due by; see `intervalS` of a point. */
const LONGEST_GAP_S = 30 * 86_400;

/** First time after `nowMs` and the longest time between two. Throws InvalidInput when the schedule comes too seldom. */
export function timesFrom(
  schedule: ProbeSchedule,
  zone: string,
  place: number,
  nowMs: number,
): { readonly intervalS: number; readonly dueAt: Date } {
  const intervalS = longestGapS(schedule, zone, nowMs);
  const dueMs = probeTimes(schedule, zone, place).next(nowMs);
  if (intervalS === null || dueMs === null || intervalS > LONGEST_GAP_S) {
    throw new InvalidInput({
      'schedule.expression': 'comes less than once in 30 days: give one that comes more often',
    });
  }
  return { intervalS, dueAt: new Date(dueMs) };
}
