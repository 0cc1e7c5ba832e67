import { Cron } from 'croner';

const HOUR_MS = 3_600_000;
/** Any weekly pattern shows twice within. */
const LOOKED_AHEAD_HOURS = 15 * 24;
const DENSE_TIMES = 100;

/**
 * Longest time between two moments of a cron expression within the fifteen days after `afterMs`, or up to the second moment where
 * they are rarer; null when there are no two. A gap of under an hour is looked for among the first hundred moments only.
 */
export function longestGapMs(expression: string, zone: string, afterMs: number): number | null {
  const cron = new Cron(expression, { timezone: zone, paused: true, mode: '5-part' });
  const next = (atMs: number) => cron.nextRun(new Date(atMs))?.getTime() ?? null;
  const endMs = afterMs + LOOKED_AHEAD_HOURS * HOUR_MS;
  const first = cron
    .nextRuns(DENSE_TIMES, new Date(afterMs))
    .map((at) => at.getTime())
    .filter((atMs, i) => i < 2 || atMs <= endMs);
  let longestMs = Math.max(0, ...first.slice(1).map((atMs, i) => atMs - first[i]!));

  // A gap of an hour or more holds a whole hour of the clock, so that it is met by looking at each.
  for (let hour = 0; hour < LOOKED_AHEAD_HOURS; hour++) {
    const atMs = afterMs + hour * HOUR_MS;
    const nextMs = next(atMs);
    if (nextMs === null) break;
    if (nextMs - atMs + HOUR_MS <= longestMs) continue;
    const [before] = cron.previousRuns(1, new Date(nextMs));
    if (before !== undefined && before.getTime() >= afterMs)
      longestMs = Math.max(longestMs, nextMs - before.getTime());
  }
  return longestMs === 0 ? null : longestMs;
}
