import type { Severity } from '../../ingest/store/schema.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

/** How long a condition stands before it is told, and is over before that is told. Common practice, no source. */
const DELAYS: Readonly<Record<Severity, { readonly onMs: number; readonly offMs: number }>> = {
  critical: { onMs: 0, offMs: 30 * MINUTE_MS },
  major: { onMs: 0, offMs: HOUR_MS },
  minor: { onMs: 15 * MINUTE_MS, offMs: 2 * HOUR_MS },
  warning: { onMs: 30 * MINUTE_MS, offMs: 4 * HOUR_MS },
  indeterminate: { onMs: 15 * MINUTE_MS, offMs: 15 * MINUTE_MS },
};

/** What may be one change at many sites waits for the others so long, so that one event is told of and not each site. */
export const GATHER_MS = 10 * MINUTE_MS;

/** The same condition within this time after it ended is the same alert, back again. Common practice, no source. */
export const BACK_WITHIN_MS = 24 * HOUR_MS;

/** A lower severity is told once it has held for so long; a graver one at once. Common practice, no source. */
export const CALMER_AFTER_MS = 6 * HOUR_MS;

export function onDelayMs(severity: Severity): number {
  return DELAYS[severity].onMs;
}

export function offDelayMs(severity: Severity): number {
  return DELAYS[severity].offMs;
}
