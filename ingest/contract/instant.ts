const RFC3339 = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)(?::(\d\d)(?:\.\d{1,9})?)?(?:Z|[+-]\d\d:\d\d)$/;

/**
 * Milliseconds since 1970-01-01 UTC of an RFC 3339 date and time with its zone; null when the text is none or
 * names a day that no calendar has. What is finer than a millisecond is cut off.
 */
export function instantMs(text: string): number | null {
  const parts = RFC3339.exec(text);
  if (parts === null) return null;
  const [year, month, day] = [Number(parts[1]), Number(parts[2]), Number(parts[3])];
  if (day > new Date(Date.UTC(year, month, 0)).getUTCDate()) return null;
  const ms = Date.parse(text);
  return Number.isNaN(ms) ? null : ms;
}
