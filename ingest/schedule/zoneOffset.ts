const FORMATS = new Map<string, Intl.DateTimeFormat>();

/**
 * How far the clocks of an IANA time zone are ahead of UTC at `utcMs`, in milliseconds: 3,600,000 for Berlin in
 * winter. Throws a RangeError for a zone that isn't known.
 */
export function zoneOffsetMs(zone: string, utcMs: number): number {
  const wholeSecondMs = Math.floor(utcMs / 1000) * 1000;
  const parts = new Map(
    formatOf(zone)
      .formatToParts(wholeSecondMs)
      .map(({ type, value }) => [type, value]),
  );
  const field = (name: Intl.DateTimeFormatPartTypes) => Number(parts.get(name));
  const localMs = Date.UTC(
    field('year'),
    field('month') - 1,
    field('day'),
    field('hour'),
    field('minute'),
    field('second'),
  );
  return localMs - wholeSecondMs;
}

/**
 * The moment, UTC, at which the clocks of `zone` show `localMs` (the reading taken as if it were UTC). Of an hour
 * that comes twice it is the first; a time that the clocks leap over is taken by the offset before the leap.
 */
export function zonedToUtcMs(zone: string, localMs: number): number {
  const dayMs = 86_400_000;
  const before = zoneOffsetMs(zone, localMs - dayMs);
  const after = zoneOffsetMs(zone, localMs + dayMs);
  const early = localMs - Math.max(before, after);
  if (early + zoneOffsetMs(zone, early) === localMs) return early;
  const late = localMs - Math.min(before, after);
  return late + zoneOffsetMs(zone, late) === localMs ? late : localMs - before;
}

function formatOf(zone: string): Intl.DateTimeFormat {
  let format = FORMATS.get(zone);
  if (format === undefined) {
    format = new Intl.DateTimeFormat('en-US-u-hc-h23', {
      timeZone: zone,
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
    });
    FORMATS.set(zone, format);
  }
  return format;
}
