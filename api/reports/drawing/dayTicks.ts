import { zonedToUtcMs, zoneOffsetMs } from '../../../ingest/schedule/zoneOffset.ts';
import { dayIn } from '../../diagnosis/words.ts';

const DAY_MS = 86_400_000;
const STEPS_DAYS = [1, 2, 5, 7, 14, 30, 60];
const MOST = 10;

/** Midnights of a time zone between two moments, ten at most, with the days that begin there. */
export function dayTicks(fromMs: number, toMs: number, timeZone: string): { at: number; text: string }[] {
  const days = (toMs - fromMs) / DAY_MS;
  const step = STEPS_DAYS.find((each) => days / each <= MOST) ?? Math.ceil(days / MOST);
  const localDay = Math.ceil((fromMs + zoneOffsetMs(timeZone, fromMs)) / DAY_MS);
  const count = Math.floor(days / step) + 1;
  return Array.from({ length: count }, (_, i) => zonedToUtcMs(timeZone, (localDay + i * step) * DAY_MS))
    .filter((at) => at >= fromMs && at <= toMs)
    .map((at) => ({ at, text: dayIn(timeZone, at, toMs) }));
}
