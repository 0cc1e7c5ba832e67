import { zoneOffsetMs } from '../../ingest/schedule/zoneOffset.ts';

/** What clocks in a zone show at a moment. */
export interface LocalTime {
  /** "2026-03-09" */
  readonly date: string;
  /** Minutes since midnight on the clock. */
  readonly minuteOfDay: number;
  /** 1 is Monday, 7 Sunday, as in ISO 8601. */
  readonly weekday: number;
}

export function localTime(atMs: number, timeZone: string): LocalTime {
  const local = new Date(atMs + zoneOffsetMs(timeZone, atMs));
  return {
    date: local.toISOString().slice(0, 10),
    minuteOfDay: 60 * local.getUTCHours() + local.getUTCMinutes(),
    weekday: local.getUTCDay() || 7,
  };
}

/** Whether the running system knows the zone by its name; bare offsets are none. */
export function isTimeZone(timeZone: string): boolean {
  if (/^[+-]/.test(timeZone)) return false;
  try {
    zoneOffsetMs(timeZone, 0);
    return true;
  } catch {
    return false;
  }
}
