const formats = new Map<string, Intl.DateTimeFormat>();

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
  const parts = formatOf(timeZone).formatToParts(atMs);
  const part = (type: Intl.DateTimeFormatPartTypes) => parts.find((p) => p.type === type)?.value ?? '';
  const date = `${part('year')}-${part('month')}-${part('day')}`;
  return {
    date,
    minuteOfDay: 60 * Number(part('hour')) + Number(part('minute')),
    weekday: new Date(date).getUTCDay() || 7,
  };
}

/** Whether the running system knows the zone by its name; bare offsets are none. */
export function isTimeZone(timeZone: string): boolean {
  if (/^[+-]/.test(timeZone)) return false;
  try {
    formatOf(timeZone);
    return true;
  } catch {
    return false;
  }
}

function formatOf(timeZone: string): Intl.DateTimeFormat {
  const known = formats.get(timeZone);
  if (known) return known;
  const made = new Intl.DateTimeFormat('en-CA', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  });
  formats.set(timeZone, made);
  return made;
}
