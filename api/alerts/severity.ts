import { SEVERITIES, type Severity } from '../../ingest/store/schema.ts';

/**
 * How long service still holds: `lost` is gone now, `part-lost` is single channels gone; a number is days until a limit is reached, the
 * middle of the forecast, and 0 once one that was agreed is passed; `no-limit` is a change that leads to none; `unseen` is no reading
 * to tell by.
 */
export type TimeLeft = 'lost' | 'part-lost' | 'no-limit' | 'unseen' | number;

/** From this many outlets on a fault counts as one of many. Common practice, no source. */
export const MANY_OUTLETS = 20;
/** "Urgent" and "soon" in days. Common practice, no source. */
export const URGENT_DAYS = 3;
export const SOON_DAYS = 14;

/**
 * Severity in the words of ITU-T X.733 (perceived severity), after the sense that it gives them: critical and major affect service or are
 * about to, minor should be mended before it does, warning is a sign of trouble, indeterminate can't be told. A size in dB has no say.
 *
 * | time left | 20 outlets or more | fewer |
 * |---|---|---|
 * | lost now | critical | major |
 * | part lost, or 3 days at most | major | minor |
 * | 14 days at most | minor | warning |
 * | longer, or no limit ahead | warning | warning |
 * | no reading to tell by | indeterminate | indeterminate |
 *
 * The figures are common practice, no source.
 */
export function severityOf(timeLeft: TimeLeft, outlets: number): Severity {
  const isMany = outlets >= MANY_OUTLETS;
  if (timeLeft === 'unseen') return 'indeterminate';
  if (timeLeft === 'lost') return isMany ? 'critical' : 'major';
  if (timeLeft === 'part-lost') return isMany ? 'major' : 'minor';
  if (timeLeft === 'no-limit') return 'warning';
  if (timeLeft <= URGENT_DAYS) return isMany ? 'major' : 'minor';
  if (timeLeft <= SOON_DAYS) return isMany ? 'minor' : 'warning';
  return 'warning';
}

/** The one with the least time: lost before part lost before days; unseen says least. */
export function leastTimeLeft(times: readonly TimeLeft[]): TimeLeft {
  return times.reduce<TimeLeft>((least, time) => (place(time) < place(least) ? time : least), 'unseen');
}

/** Whether `a` is graver than `b`. */
export function isGraver(a: Severity, b: Severity): boolean {
  return SEVERITIES.indexOf(a) < SEVERITIES.indexOf(b);
}

function place(time: TimeLeft): number {
  if (typeof time === 'number') return time;
  return { lost: -2, 'part-lost': -1, 'no-limit': Number.MAX_VALUE, unseen: Number.POSITIVE_INFINITY }[time];
}
