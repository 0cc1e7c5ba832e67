import { z } from 'zod';
import { durationMs } from '../../probe/duration.ts';
import { zoneOffsetMs } from '../../schedule/zoneOffset.ts';

const UNIT_BYTES: Readonly<Record<string, number>> = { kB: 1e3, MB: 1e6, GB: 1e9 };

/** Text that is not only blanks; `action` says what to give. */
export const text = (action: string) =>
  z.string({ error: () => action }).refine((value) => value.trim() !== '', { error: `is empty: ${action}` });

/** "15m" to milliseconds, within the two bounds. */
export const duration = (shortest: string, longest: string) => {
  const [leastMs, mostMs] = [durationMs(shortest)!, durationMs(longest)!];
  const action = `give ${shortest} to ${longest} as a number and s, m or h, such as "15m"`;
  return z.string({ error: () => action }).transform((value, context) => {
    const ms = durationMs(value);
    if (ms !== null && ms >= leastMs && ms <= mostMs) return ms;
    context.addIssue({ code: 'custom', message: `“${value}” won’t do: ${action}` });
    return z.NEVER;
  });
};

/** "200MB" to bytes. */
export const size = (leastBytes: number) => {
  const action = `give at least ${leastBytes / 1e6}MB as a number and kB, MB or GB, such as "200MB"`;
  return z.string({ error: () => action }).transform((value, context) => {
    const [, digits, unit] = /^(\d{1,6}) ?(kB|MB|GB)$/.exec(value) ?? [];
    const bytes = Number(digits) * (UNIT_BYTES[unit ?? ''] ?? Number.NaN);
    if (bytes >= leastBytes) return bytes;
    context.addIssue({ code: 'custom', message: `“${value}” won’t do: ${action}` });
    return z.NEVER;
  });
};

/** An IANA time zone. */
export const zone = z
  .string({ error: () => 'give the site’s time zone, such as "America/Chicago"' })
  .refine(isKnownZone, {
    error: 'is no known time zone: give one such as "America/Chicago" or "Europe/Berlin"',
  });

/** A whole number within bounds. */
export const whole = (least: number, most: number) => {
  const action = `give a whole number from ${least} to ${most}`;
  return z
    .int({ error: () => action })
    .min(least, { error: action })
    .max(most, { error: action });
};

function isKnownZone(name: string): boolean {
  try {
    zoneOffsetMs(name, 0);
    return true;
  } catch {
    return false;
  }
}
