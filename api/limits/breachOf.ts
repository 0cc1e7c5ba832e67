import type { BreachView } from '../schemas/common.ts';
import { describeSource } from './describeSource.ts';
import type { Limit } from './limitSet.ts';

/** Readings come in hundredths of a dB: what shows as equal to a limit is inside it. */
const ROUNDING_DB = 0.005;

/** How a value misses a limit; null when it doesn't. */
export function breachOf(
  limit: Limit,
  value: number,
  place: { readonly channel: string | null; readonly freqMhz: number } | null,
): BreachView | null {
  const missed = missedSide(limit, value);
  if (missed === null) return null;
  return {
    quantity: limit.quantity,
    channel: place?.channel ?? null,
    freqMhz: place?.freqMhz ?? null,
    value,
    limit: `${missed === 'min' ? 'at least' : 'at most'} ${String(limit[missed]).replace('-', '−')} ${limit.unit}`,
    unit: limit.unit,
    source: describeSource(limit),
    effect: limit.effect,
  };
}

function missedSide(limit: Limit, value: number): 'min' | 'max' | null {
  if (limit.min !== undefined && value < limit.min - ROUNDING_DB) return 'min';
  if (limit.max !== undefined && value > limit.max + ROUNDING_DB) return 'max';
  return null;
}
