import { zonedParts } from '../diagnosis/words.ts';

/** "23 Nov 2026, 06:15 CST": a moment in the site's zone, the zone stated. */
export function momentWithZone(at: string, timeZone: string): string {
  const { day, month, year, hour, minute, timeZoneName } = zonedParts(timeZone, Date.parse(at));
  return `${day} ${month} ${year}, ${hour}:${minute} ${timeZoneName}`;
}

/** "23 Nov 2026" in the site's zone. */
export function dayWithYear(at: string, timeZone: string): string {
  const { day, month, year } = zonedParts(timeZone, Date.parse(at));
  return `${day} ${month} ${year}`;
}
