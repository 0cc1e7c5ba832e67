import { zonedToUtcMs } from '../../ingest/schedule/zoneOffset.ts';
import { ApiError } from '../errors.ts';
import type { Period } from './reportKind.ts';

const DAY_MS = 86_400_000;
const MINUTE_MS = 60_000;
const DEFAULT_DAYS = 30;
const LONGEST_DAYS = 400;

/**
 * The period asked for: the last 30 days up to this minute where nothing is.
 *
 * @throws ApiError 422 when it is empty or longer than 400 days
 */
export function periodOf(
  { from, to }: { readonly from?: string | undefined; readonly to?: string | undefined },
  nowMs: number,
): Period {
  const toMs = to === undefined ? Math.floor(nowMs / MINUTE_MS) * MINUTE_MS : Date.parse(to);
  const fromMs = from === undefined ? toMs - DEFAULT_DAYS * DAY_MS : Date.parse(from);
  if (fromMs >= toMs) throw refusal('period-empty', 'from does not lie before to', 'choose an earlier from');
  if (toMs - fromMs > LONGEST_DAYS * DAY_MS) {
    throw refusal(
      'period-too-long',
      `from and to are more than ${LONGEST_DAYS} days apart`,
      'choose a later from',
    );
  }
  return { fromMs, toMs };
}

/** From the first midnight of `fromDay` to the end of `toDay` in a zone, or to this minute where that comes first. */
export function daysOf(fromDay: string, toDay: string, timeZone: string, nowMs: number): Period {
  const midnight = (day: string, after = 0) =>
    zonedToUtcMs(timeZone, Date.parse(`${day}T00:00:00Z`) + after * DAY_MS);
  const toMs = Math.min(midnight(toDay, 1), Math.floor(nowMs / MINUTE_MS) * MINUTE_MS);
  const iso = (ms: number) => new Date(ms).toISOString();
  return periodOf({ from: iso(midnight(fromDay)), to: iso(toMs) }, nowMs);
}

function refusal(code: string, message: string, action: string): ApiError {
  return new ApiError(422, code, message, action);
}
