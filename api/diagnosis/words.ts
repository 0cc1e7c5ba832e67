const DAY_MS = 86_400_000;

/** A number with a true minus sign and `digits` decimals; never "−0.0". */
export function signed(value: number, digits = 1): string {
  const text = Math.abs(value).toFixed(digits);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** "−12", "33", "20.5": a limit as people write it. */
export function figure(value: number): string {
  return signed(value, Number.isInteger(value) ? 0 : 1);
}

/** "2.7" for a size whose direction is said in words. */
export function size(value: number, digits = 1): string {
  return Math.abs(value).toFixed(digits);
}

/** "2.4 to 3.0": the two bounds of an interval by magnitude, smaller first; "±0.05" where both look alike. */
export function sizeRange(low: number, high: number, digits = 1): string {
  if (Math.sign(low) * Math.sign(high) < 0) return `${signed(low, digits)} to ${signed(high, digits)}`;
  const [small, large] = [Math.abs(low), Math.abs(high)].sort((a, b) => a - b) as [number, number];
  const [from, to] = [small.toFixed(digits), large.toFixed(digits)];
  return from === to ? `±${(10 ** -digits / 2).toFixed(digits + 1)}` : `${from} to ${to}`;
}

/** "12 Oct" in the site's zone, with the year when `nowMs` lies in another or is not given. */
export function dayIn(timeZone: string, atMs: number, nowMs?: number): string {
  const at = zonedParts(timeZone, atMs);
  const sameYear = nowMs !== undefined && zonedParts(timeZone, nowMs).year === at.year;
  return `${Number(at.day)} ${at.month}${sameYear ? '' : ` ${at.year}`}`;
}

/** "12 Oct 14:30" in the site's zone, with the year when `nowMs` lies in another or is not given. */
export function momentIn(timeZone: string, atMs: number, nowMs?: number): string {
  const { hour, minute } = zonedParts(timeZone, atMs);
  return `${dayIn(timeZone, atMs, nowMs)} ${hour}:${minute}`;
}

/** "19 days", "1 day", "less than a day". */
export function days(count: number): string {
  if (count < 1) return 'less than a day';
  const whole = Math.round(count);
  return whole === 1 ? '1 day' : `${whole} days`;
}

/** "every 15 min", "every 6 h", "every day". */
export function every(seconds: number): string {
  if (seconds < 90) return `every ${Math.round(seconds)} s`;
  if (seconds < 5400) return `every ${Math.round(seconds / 60)} min`;
  if (seconds < DAY_MS / 1000) return `every ${Math.round(seconds / 3600)} h`;
  return seconds < 1.5 * (DAY_MS / 1000)
    ? 'every day'
    : `every ${Math.round((seconds * 1000) / DAY_MS)} days`;
}

/** "1 outlet", "48 outlets". */
export function count(amount: number, noun: string): string {
  return `${amount} ${noun}${amount === 1 ? '' : 's'}`;
}

/** "2", "2 and 3", "2, 3, 4 and 5 more". */
export function listed(names: readonly string[], shown = 3): string {
  if (names.length <= 1) return names[0] ?? '';
  if (names.length <= shown) return `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
  return `${names.slice(0, shown).join(', ')} and ${names.length - shown} more`;
}

type DateParts = Readonly<Record<'year' | 'month' | 'day' | 'hour' | 'minute' | 'timeZoneName', string>>;

const formats = new Map<string, Intl.DateTimeFormat>();

/** What clocks in a zone show at a moment, in the words of dates here: months such as "Nov", zones such as "CST". */
export function zonedParts(timeZone: string, atMs: number): DateParts {
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
  return Object.fromEntries(format.formatToParts(atMs).map((part) => [part.type, part.value])) as DateParts;
}
