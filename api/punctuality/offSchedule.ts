import { isInterrupted, type Window } from '../maintenance/window.ts';
import type { PointReadings, ScheduleTrouble } from './types.ts';

/** Six in a row: if one in ten were off by chance, six would be once in a million. */
const IN_A_ROW = 6;
/** A gap of so many intervals is far too long; so many sweeps in one interval are far too many. */
const LONG_GAP = 1.75;
const MANY = 2;
/** Where all that is looked at lies so close that it reaches no further back. */
const IN_A_ROW_CROWDED = 3;

/**
 * Whether a point's sweeps come far more or less often than set: the last six gaps are each nearly twice the interval, or the last six
 * intervals each hold two sweeps or more. A burst, such as a technician's walk with a meter, fills one interval and not six.
 */
export function judgeSchedule(
  { sweeps, intervalS }: PointReadings,
  windows: readonly Window[],
): ScheduleTrouble | null {
  const times = sweeps.map(({ atMs }) => atMs);
  return tooSeldom(times, intervalS * 1000, windows) ?? tooOften(times, intervalS * 1000);
}

function tooSeldom(
  times: readonly number[],
  intervalMs: number,
  windows: readonly Window[],
): ScheduleTrouble | null {
  const isLong = (i: number) => {
    const [later, earlier] = [times[i]!, times[i + 1]!];
    return later - earlier >= LONG_GAP * intervalMs && !isInterrupted(windows, earlier, later);
  };
  let gaps = 0;
  while (gaps + 1 < times.length && isLong(gaps)) gaps++;
  return gaps < IN_A_ROW ? null : trouble(times, gaps);
}

function tooOften(times: readonly number[], intervalMs: number): ScheduleTrouble | null {
  const newestMs = times[0];
  if (newestMs === undefined) return null;
  const counts: number[] = [];
  for (const time of times) {
    const place = Math.floor((newestMs - time) / intervalMs);
    counts[place] = (counts[place] ?? 0) + 1;
  }
  // The oldest interval may be cut off, and one that nothing came in is none with too many.
  const crowded = Array.from(counts).findIndex((count) => (count ?? 0) < MANY);
  const intervals = crowded < 0 ? counts.length - 1 : crowded;
  if (intervals < (crowded < 0 ? IN_A_ROW_CROWDED : IN_A_ROW)) return null;
  const within = times.filter((time) => newestMs - time < intervals * intervalMs);
  return trouble(times, within.length - 1);
}

function trouble(times: readonly number[], gaps: number): ScheduleTrouble {
  const sinceMs = times[gaps]!;
  const everyS = Math.round((times[0]! - sinceMs) / gaps / 1000);
  return { kind: 'off-schedule', sinceMs, orEarlier: gaps + 1 === times.length, everyS };
}
