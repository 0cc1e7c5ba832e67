/** The band that a strip speaks of, MHz: the downstream band of a 1 GHz plant. */
export const STRIP_LOW_MHZ = 54;
export const STRIP_HIGH_MHZ = 1002;
export const STRIP_SLICES = 48;
/** What the store keeps for a slice without a reading. */
export const NO_READING = -32768;

/** The slice that a frequency falls in; null outside the band. */
export function sliceOf(freqMhz: number): number | null {
  if (freqMhz < STRIP_LOW_MHZ || freqMhz > STRIP_HIGH_MHZ) return null;
  const share = (freqMhz - STRIP_LOW_MHZ) / (STRIP_HIGH_MHZ - STRIP_LOW_MHZ);
  return Math.min(STRIP_SLICES - 1, Math.floor(share * STRIP_SLICES));
}

/** Of several strips, the worst deviation in each slice, in the store's hundredths of a dB. */
export function worstOf(strips: readonly (readonly (number | null)[])[]): number[] {
  return Array.from({ length: STRIP_SLICES }, (_, slice) => {
    let worst: number | null = null;
    for (const strip of strips) {
      const value = strip[slice] ?? null;
      if (value !== null && (worst === null || Math.abs(value) > Math.abs(worst))) worst = value;
    }
    return worst === null ? NO_READING : Math.max(-32767, Math.min(32767, Math.round(worst * 100)));
  });
}

/** A strip as the store keeps it, in dB with null for "no reading". */
export function stripInDb(stored: readonly number[]): (number | null)[] {
  return stored.map((value) => (value === NO_READING ? null : value / 100));
}
