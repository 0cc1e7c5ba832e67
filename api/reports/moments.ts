const formats = new Map<string, Intl.DateTimeFormat>();

/** "23 Nov 2026, 06:15 CST": a moment in the site's zone, the zone stated. */
export function momentWithZone(at: string, timeZone: string): string {
  const part = partsOf(at, timeZone);
  return `${part('day')} ${part('month')} ${part('year')}, ${part('hour')}:${part('minute')} ${part('timeZoneName')}`;
}

/** "23 Nov 2026" in the site's zone. */
export function dayWithYear(at: string, timeZone: string): string {
  const part = partsOf(at, timeZone);
  return `${part('day')} ${part('month')} ${part('year')}`;
}

function partsOf(at: string, timeZone: string): (type: Intl.DateTimeFormatPartTypes) => string {
  let format = formats.get(timeZone);
  if (format === undefined) {
    format = new Intl.DateTimeFormat('en-US', {
      timeZone,
      year: 'numeric',
      month: 'short',
      day: 'numeric',
      hour: '2-digit',
      minute: '2-digit',
      hourCycle: 'h23',
      timeZoneName: 'short',
    });
    formats.set(timeZone, format);
  }
  const parts = format.formatToParts(new Date(at));
  return (type) => parts.find((part) => part.type === type)?.value ?? '';
}
