import type { AlertRow } from '../../../ingest/store/schema.ts';

type Limits = Pick<AlertRow, 'limit_days_10' | 'limit_days_50' | 'limit_days_90'>;

const FAR_DAYS = 90;

/** "about 9 days (5 to 16)", the span being from the 10 % to the 90 % quantile; null where nothing is forecast. */
export function timeLeft({ limit_days_10, limit_days_50, limit_days_90 }: Limits): string | null {
  if (limit_days_50 === null) return null;
  if (limit_days_50 <= 0) return 'none: a limit is passed';
  if (limit_days_50 > FAR_DAYS) return `over ${FAR_DAYS} days`;
  if (limit_days_50 < 1) return 'less than a day';
  const about = days(limit_days_50);
  if (limit_days_10 === null || limit_days_90 === null) return `about ${about}`;
  const to = limit_days_90 > FAR_DAYS ? `over ${FAR_DAYS}` : String(Math.round(limit_days_90));
  const from = String(Math.max(0, Math.round(limit_days_10)));
  return from === to ? `about ${about}` : `about ${about} (${from} to ${to})`;
}

function days(count: number): string {
  const whole = Math.round(count);
  return whole === 1 ? '1 day' : `${whole} days`;
}
