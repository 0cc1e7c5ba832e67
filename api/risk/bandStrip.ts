import { median } from '../../ingest/signal/median.ts';
import type { CarrierMedians } from '../baseline/windowMedians.ts';
import { PRACTICAL_FLOOR_DB } from '../diagnosis/practicalFloor.ts';
import { LOST_BELOW_DB } from '../trend/observe.ts';

export const STRIP_SLICES = 48;
export const STRIP_LOW_MHZ = 54;
export const STRIP_HIGH_MHZ = 1002;

/** A slice has changed when it stands this many of its point's standard deviations from baseline. */
const CHANGED_SPREADS = 3;
/** A channel this far from the rest of its slice speaks for the slice: adjacent channels may differ by 3 dB, 47 CFR 76.605. */
const NOTCH_DB = 3;

/** `lost`: a channel of the baseline isn't there. `changed`: beyond what the point's readings scatter by. */
export const STRIP_MARKS = ['near', 'changed', 'lost'] as const;
export type StripMark = (typeof STRIP_MARKS)[number];

export interface StripSlice {
  /** Change from baseline, dB; null where nothing of the slice is measured. */
  readonly changeDb: number | null;
  readonly mark: StripMark;
}

/** What a point's newest carriers are held against. */
export interface StripBaseline {
  /** dBmV by Hz, of the carriers that may be compared. */
  readonly levels: ReadonlyMap<number, number>;
  /** How far one channel scattered while the baseline was made, dB, as a standard deviation. */
  readonly spreadDb: number | null;
}

/**
 * Change from baseline in 48 equal slices of 54 to 1002 MHz; null where nothing is compared. Carriers beyond the ends count in
 * the end slices. A slice shows the median of its channels, or the channel that stands alone by {@link NOTCH_DB}, and has
 * changed beyond {@link CHANGED_SPREADS} spreads of the point, and beyond the practical floor.
 *
 * @param carriers medians over the newest sweeps, so that one wild sweep makes no slice change
 */
export function bandStrip(
  carriers: readonly CarrierMedians[],
  baseline: StripBaseline | null,
): (StripSlice | null)[] {
  const slices = Array.from({ length: STRIP_SLICES }, (): Slice => ({ changes: [], lost: false }));
  for (const { freqMhz, levelDbmv, lost } of carriers) {
    const then = baseline?.levels.get(Math.round(freqMhz * 1e6));
    if (then === undefined) continue;
    const slice = slices[sliceOf(freqMhz)]!;
    const changeDb = levelDbmv === null ? null : levelDbmv - then;
    if (changeDb === null ? lost > 0 : changeDb <= -LOST_BELOW_DB) slice.lost = true;
    else if (changeDb !== null) slice.changes.push(changeDb);
  }
  const changedDb = Math.max(PRACTICAL_FLOOR_DB, CHANGED_SPREADS * (baseline?.spreadDb ?? 0));
  return slices.map(({ changes, lost }) => {
    const changeDb = told(changes);
    if (changeDb === null && !lost) return null;
    const changed = changeDb !== null && Math.abs(changeDb) > changedDb;
    return { changeDb, mark: lost ? 'lost' : changed ? 'changed' : 'near' };
  });
}

interface Slice {
  readonly changes: number[];
  lost: boolean;
}

function sliceOf(freqMhz: number): number {
  const place = (freqMhz - STRIP_LOW_MHZ) / (STRIP_HIGH_MHZ - STRIP_LOW_MHZ);
  return Math.min(STRIP_SLICES - 1, Math.max(0, Math.floor(place * STRIP_SLICES)));
}

function told(changes: readonly number[]): number | null {
  const middle = median(changes);
  if (middle === null) return null;
  const farthest = changes.reduce((a, b) => (Math.abs(b - middle) > Math.abs(a - middle) ? b : a));
  return Math.abs(farthest - middle) >= NOTCH_DB ? farthest : middle;
}
