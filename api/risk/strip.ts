import { STRIP_SLICES } from '../trend/bandStrip.ts';

/** What the store keeps for a slice without a reading. */
const NO_READING = -32768;

/** Of the strips of a site's points, the worst deviation in each slice, in the store's hundredths of a dB. */
export function worstStrip(strips: readonly (readonly (number | null)[])[]): number[] {
  return Array.from({ length: STRIP_SLICES }, (_, slice) => {
    let worst: number | null = null;
    for (const strip of strips) {
      const value = strip[slice] ?? null;
      if (value !== null && (worst === null || Math.abs(value) > Math.abs(worst))) worst = value;
    }
    return worst === null ? NO_READING : Math.max(-32767, Math.min(32767, Math.round(worst * 100)));
  });
}

/** A kept strip in dB, with null for "no reading". */
export function stripInDb(stored: readonly number[]): (number | null)[] {
  return stored.map((value) => (value === NO_READING ? null : value / 100));
}
