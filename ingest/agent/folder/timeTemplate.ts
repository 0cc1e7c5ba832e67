import { instantMs } from '../../contract/instant.ts';
import { zonedToUtcMs } from '../../schedule/zoneOffset.ts';

/** What a pattern is made of; anything else in it stands for itself. */
const TOKENS = {
  YYYY: '(?<year>\\d{4})',
  YY: '(?<shortYear>\\d{2})',
  MMM: '(?<monthName>[A-Za-z]{3})',
  MM: '(?<month>\\d{1,2})',
  DD: '(?<day>\\d{1,2})',
  hh: '(?<hour>\\d{1,2})',
  mm: '(?<minute>\\d{2})',
  ss: '(?<second>\\d{2})(?:[.,]\\d+)?',
  AP: '(?<half>[AaPp][Mm])',
} as const;
const TOKEN = /YYYY|YY|MMM|MM|DD|hh|mm|ss|AP/g;
const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];

/** What keeps a pattern from naming a moment, in words; null when nothing does. */
export function timeTemplateFault(pattern: string): string | null {
  const found: readonly string[] = pattern.match(TOKEN) ?? [];
  const action = 'write it of YYYY, MM, DD, hh, mm, ss, such as "YYYY-MM-DD hh:mm:ss"';
  const repeated = found.find((token, i) => found.indexOf(token) !== i);
  if (repeated !== undefined) return `“${pattern}” has ${repeated} twice: ${action}`;
  const has = (...tokens: string[]) => tokens.some((token) => found.includes(token));
  if (has('YYYY', 'YY') && has('MM', 'MMM') && has('DD') && has('hh') && has('mm')) return null;
  return `“${pattern}” does not name year, month, day, hour and minute: ${action}`;
}

/**
 * The moment, milliseconds since 1970 UTC, that `text` names by the pattern in the zone's clock; null when it names
 * none. `part: 'whole'` wants nothing around it, `'anywhere'` finds it within a longer name. The pattern "iso" is a
 * date and time with its own zone, as RFC 3339 writes it.
 */
export function timeByTemplate(
  text: string,
  pattern: string,
  zone: string,
  part: 'whole' | 'anywhere',
): number | null {
  if (pattern === 'iso') return instantMs(text.trim());
  const fields = expressionOf(pattern, part).exec(text.trim())?.groups;
  if (fields === undefined) return null;

  const year = Number(fields['year'] ?? `20${fields['shortYear']}`);
  const monthName = fields['monthName'];
  const month =
    monthName === undefined ? Number(fields['month']) : MONTHS.indexOf(monthName.toLowerCase()) + 1;
  const [day, minute, second] = [fields['day'], fields['minute'], fields['second'] ?? '0'].map(Number);
  const hour = hourOf(Number(fields['hour']), fields['half']?.toLowerCase());
  const localMs = Date.UTC(year, month - 1, day, hour, minute, second);
  return isOnClock(localMs, [year, month, day!, hour, minute!, second!]) ? zonedToUtcMs(zone, localMs) : null;
}

function expressionOf(pattern: string, part: 'whole' | 'anywhere'): RegExp {
  let source = '';
  let end = 0;
  for (const { 0: token, index } of pattern.matchAll(TOKEN)) {
    source += literal(pattern.slice(end, index)) + TOKENS[token as keyof typeof TOKENS];
    end = index + token.length;
  }
  source += literal(pattern.slice(end));
  // Digits next to a date are part of another number.
  return part === 'whole' ? new RegExp(`^${source}$`) : new RegExp(`(?<!\\d)${source}(?!\\d)`);
}

function literal(text: string): string {
  return text.replaceAll(/[.*+?^${}()|[\]\\/]/g, '\\$&');
}

/** Twelve in the morning is 0 h. */
function hourOf(hour: number, half: string | undefined): number {
  if (half === undefined) return hour;
  if (hour < 1 || hour > 12) return Number.NaN;
  return (hour % 12) + (half === 'pm' ? 12 : 0);
}

/** 31 February is no day, 25 h no hour. */
function isOnClock(ms: number, [year, month, day, hour, minute, second]: readonly number[]): boolean {
  const date = new Date(ms);
  return (
    date.getUTCFullYear() === year &&
    date.getUTCMonth() + 1 === month &&
    date.getUTCDate() === day &&
    date.getUTCHours() === hour &&
    date.getUTCMinutes() === minute &&
    date.getUTCSeconds() === second
  );
}
