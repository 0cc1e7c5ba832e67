/** At each end this share of the values may be wild. */
const WILD_SHARE = 0.02;
const LEAST_REACH_DB = 2;

/**
 * The values without the few that would press all others flat: those further from the middle 96 % than that is wide, and
 * than 2 dB. A common rule of thumb, no source.
 */
export function usualValues(values: readonly (number | null)[]): number[] {
  const known = values.filter((value) => value !== null).sort((a, b) => a - b);
  if (known.length === 0) return [];
  const skipped = Math.floor(known.length * WILD_SHARE);
  const [low, high] = [known[skipped]!, known[known.length - 1 - skipped]!];
  const reach = Math.max(LEAST_REACH_DB, high - low);
  return known.filter((value) => value >= low - reach && value <= high + reach);
}
