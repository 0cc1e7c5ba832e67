/** "Thu 5 Mar 2026, 12:00 CST": the moment in a zone, the zone named. */
export function moment(atMs: number, timeZone: string): string {
  const parts = new Intl.DateTimeFormat('en-GB', {
    timeZone,
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).formatToParts(atMs);
  const part = (type: Intl.DateTimeFormatPartTypes) => parts.find((p) => p.type === type)?.value ?? '';
  const day = `${part('weekday')} ${part('day')} ${part('month')} ${part('year')}`;
  return `${day}, ${part('hour')}:${part('minute')} ${zoneName(atMs, timeZone)}`;
}

/** American English has short names for the zones of its own country; others come as "GMT+1". */
function zoneName(atMs: number, timeZone: string): string {
  const parts = new Intl.DateTimeFormat('en-US', { timeZone, timeZoneName: 'short' }).formatToParts(atMs);
  return parts.find(({ type }) => type === 'timeZoneName')?.value ?? timeZone;
}
