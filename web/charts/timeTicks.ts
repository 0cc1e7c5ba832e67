import { formatClock, formatShortDay } from '../format.ts';

const DAY_S = 86_400;

/**
 * Labels for ticks at `timesS` (seconds since 1970), `stepS` apart, in the site's zone: days when the
 * step is a day or more, otherwise the clock with the day wherever it changes.
 */
export function timeTicks(timesS: readonly number[], stepS: number, timeZone: string): string[] {
  let dayBefore = '';
  return timesS.map((time) => {
    const at = new Date(time * 1000).toISOString();
    const day = formatShortDay(at, timeZone);
    if (stepS >= DAY_S) return day;
    const clock = formatClock(at, timeZone);
    const label = day === dayBefore ? clock : `${clock}\n${day}`;
    dayBefore = day;
    return label;
  });
}
