import type { Sweep } from '../../ingest/sweep.ts';
import type { Frame } from './frame.ts';
import { deviations } from './observe.ts';

export const STRIP_SLICES = 48;
export const STRIP_LOW_MHZ = 54;
export const STRIP_HIGH_MHZ = 1002;

/**
 * Deviation from the baseline that is farthest from zero in each of 48 equal slices of 54 to 1002 MHz, dB to
 * hundredths; null where nothing is compared. Carriers beyond the ends count in the end slices.
 */
export function bandStrip(sweep: Sweep, frame: Frame): (number | null)[] {
  const strip = new Array<number | null>(STRIP_SLICES).fill(null);
  if (frame.line === null) return strip;
  const deviation = deviations(sweep, frame);
  for (let i = 0; i < deviation.length; i++) {
    const value = deviation[i];
    if (value == null) continue;
    const place = (frame.freqMhz[i]! - STRIP_LOW_MHZ) / (STRIP_HIGH_MHZ - STRIP_LOW_MHZ);
    const slice = Math.min(STRIP_SLICES - 1, Math.max(0, Math.floor(place * STRIP_SLICES)));
    const held = strip[slice] ?? null;
    if (held === null || Math.abs(value) > Math.abs(held)) strip[slice] = Math.round(value * 100) / 100;
  }
  return strip;
}
