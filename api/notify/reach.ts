import type { NotifyTargetRow } from '../../ingest/store/schema.ts';
import type { Reach } from '../schemas/notify.ts';

type ReachColumns = Pick<
  NotifyTargetRow,
  'time_zone' | 'quiet_from_min' | 'quiet_to_min' | 'work_days' | 'daily' | 'weekly' | 'digest_min'
>;

/** A webhook takes messages at any time and no digests. */
export const AT_ANY_TIME: ReachColumns = {
  time_zone: 'UTC',
  quiet_from_min: null,
  quiet_to_min: null,
  work_days: [1, 2, 3, 4, 5, 6, 7],
  daily: false,
  weekly: false,
  digest_min: 0,
};

export function columnsOfReach({ timeZone, quiet, workDays, digest }: Reach): ReachColumns {
  return {
    time_zone: timeZone,
    quiet_from_min: quiet && minutes(quiet.from),
    quiet_to_min: quiet && minutes(quiet.to),
    work_days: workDays.toSorted((a, b) => a - b),
    daily: digest.daily,
    weekly: digest.weekly,
    digest_min: minutes(digest.at),
  };
}

export function reachOf(row: ReachColumns): Reach {
  const { quiet_from_min: from, quiet_to_min: to } = row;
  return {
    timeZone: row.time_zone,
    quiet: from === null || to === null ? null : { from: clock(from), to: clock(to) },
    workDays: row.work_days,
    digest: { daily: row.daily, weekly: row.weekly, at: clock(row.digest_min) },
  };
}

function minutes(text: string): number {
  const [hours, rest] = text.split(':') as [string, string];
  return 60 * Number(hours) + Number(rest);
}

function clock(minuteOfDay: number): string {
  const two = (value: number) => String(value).padStart(2, '0');
  return `${two(Math.floor(minuteOfDay / 60))}:${two(minuteOfDay % 60)}`;
}
