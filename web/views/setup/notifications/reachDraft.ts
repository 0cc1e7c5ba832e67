import type { Reach } from '../../../../api/schemas/notify.ts';

/** Monday to Sunday, as ISO 8601 counts them. */
export const DAY_WORD = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;

/** Every quarter of an hour on a clock. */
export const CLOCK_OPTIONS: readonly (readonly [string, string])[] = Array.from({ length: 96 }, (_, i) => {
  const text = `${String(Math.floor(i / 4)).padStart(2, '0')}:${String(15 * (i % 4)).padStart(2, '0')}`;
  return [text, text] as const;
});

/** Working days, quiet at night: what most people would say. */
export function usualReach(timeZone: string): Reach {
  return {
    timeZone,
    quiet: { from: '20:00', to: '07:00' },
    workDays: [1, 2, 3, 4, 5],
    digest: { daily: false, weekly: true, at: '07:00' },
  };
}

/** "Mon to Fri, quiet 20:00–07:00 (America/Chicago); weekly digest at 07:00" */
export function reachWords({ timeZone, quiet, workDays, digest }: Reach): string {
  const hours = quiet ? `quiet ${quiet.from}–${quiet.to}` : 'at any hour';
  const digests = [digest.daily && 'daily', digest.weekly && 'weekly'].filter(Boolean).join(' and ');
  const digestWords = digests === '' ? 'no digest' : `${digests} digest at ${digest.at}`;
  return `${daysWords(workDays)}, ${hours} (${timeZone}); ${digestWords}`;
}

function daysWords(days: readonly number[]): string {
  if (days.length === 7) return 'Every day';
  const sorted = [...days].sort((a, b) => a - b);
  const words = sorted.map((day) => DAY_WORD[day - 1]!);
  const unbroken = sorted.every((day, i) => i === 0 || day === sorted[i - 1]! + 1);
  return unbroken && words.length > 2 ? `${words[0]} to ${words.at(-1)}` : words.join(', ');
}
