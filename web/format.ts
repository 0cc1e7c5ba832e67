/** Numbers and times as people read them. A missing value is an en dash, never 0. */
const NONE = '–';
const MINUS = '−';

/** `12.34` → "12.3"; a true minus sign, so that columns of figures line up. */
export function formatNumber(value: number | null, digits = 1): string {
  if (value === null) return NONE;
  const text = Math.abs(value).toFixed(digits);
  return value < 0 && Number(text) !== 0 ? MINUS + text : text;
}

/** A change: always with its sign; nothing that rounds to zero carries one. */
export function formatChange(value: number | null, digits = 1): string {
  if (value === null) return NONE;
  const text = formatNumber(value, digits);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

export function formatWithUnit(value: number | null, unit: string, digits = 1): string {
  return value === null ? NONE : `${formatNumber(value, digits)} ${unit}`;
}

/** MHz with as many decimals as it needs, three at most. */
export function formatMhz(value: number): string {
  return String(Number(value.toFixed(3)));
}

/** Outlet-days: whole from 10 on. */
export function formatOutletDays(value: number): string {
  if (value <= 0) return '0';
  if (value < 0.1) return '<0.1';
  return value < 10 ? value.toFixed(1) : Number(value.toPrecision(2)).toLocaleString('en');
}

export function formatCount(value: number): string {
  return value.toLocaleString('en');
}

/** "1 site", "3 sites". */
export function plural(count: number, one: string, many = `${one}s`): string {
  return `${formatCount(count)} ${count === 1 ? one : many}`;
}

/** A share of 1 in whole percent: "81 %". */
export function formatShare(share: number): string {
  return `${Math.round(100 * share)} %`;
}

/** Days until a limit is reached, in words that claim no more than a forecast can. */
export function formatDaysLeft(days: number | null): string {
  if (days === null) return NONE;
  if (days <= 0) return 'past it';
  if (days < 1) return 'under a day';
  if (days > 90) return 'over 90 days';
  return plural(Math.round(days), 'day');
}

const formats = new Map<string, Intl.DateTimeFormat>();

function dateFormat(
  locale: string,
  timeZone: string,
  options: Intl.DateTimeFormatOptions,
): Intl.DateTimeFormat {
  const key = `${locale} ${timeZone} ${JSON.stringify(options)}`;
  const known = formats.get(key);
  if (known) return known;
  const made = new Intl.DateTimeFormat(locale, { timeZone, ...options });
  formats.set(key, made);
  return made;
}

/** "23 Nov 2026" in the site's zone. */
export function formatDay(at: string, timeZone: string): string {
  return dateFormat('en-GB', timeZone, { day: 'numeric', month: 'short', year: 'numeric' }).format(
    new Date(at),
  );
}

/** "23 Nov" in the site's zone. */
export function formatShortDay(at: string, timeZone: string): string {
  return dateFormat('en-GB', timeZone, { day: 'numeric', month: 'short' }).format(new Date(at));
}

/** "06:15" in the site's zone. */
export function formatClock(at: string, timeZone: string): string {
  return dateFormat('en-GB', timeZone, { hour: '2-digit', minute: '2-digit' }).format(new Date(at));
}

/** "23 Nov 2026, 06:15 CST": the moment in the site's zone, the zone stated. */
export function formatMoment(at: string, timeZone: string): string {
  return `${formatDay(at, timeZone)}, ${formatClock(at, timeZone)} ${zoneName(at, timeZone)}`;
}

/** "CST" for America/Chicago in winter. */
export function zoneName(at: string, timeZone: string): string {
  const parts = dateFormat('en-US', timeZone, { timeZoneName: 'short' }).formatToParts(new Date(at));
  return parts.find((part) => part.type === 'timeZoneName')?.value ?? timeZone;
}

/** How long ago, in one unit: "12 min ago", "5 h ago", "3 days ago". */
export function formatAgo(at: string, nowMs: number): string {
  const minutes = Math.max(0, Math.round((nowMs - Date.parse(at)) / 60_000));
  if (minutes < 1) return 'just now';
  if (minutes < 90) return `${minutes} min ago`;
  const hours = Math.round(minutes / 60);
  return hours < 48 ? `${hours} h ago` : `${plural(Math.round(hours / 24), 'day')} ago`;
}

/** A value between the bounds of an interval: "−2.1 dB (−2.4 to −1.8)", or "−2.1 dB (±0.05)" where both look alike. */
export function formatInterval(value: number, low: number, high: number, unit: string, digits = 1): string {
  const [from, to] = [formatChange(low, digits), formatChange(high, digits)];
  const range = from === to ? `±${formatNumber(10 ** -digits / 2, digits + 1)}` : `${from} to ${to}`;
  return `${formatChange(value, digits)} ${unit} (${range})`;
}
