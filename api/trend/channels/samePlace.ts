import type { Band } from './band.ts';
import type { ChannelShape, OpenConclusion } from './channelTrend.ts';
import { foldedNs } from './rippleScan.ts';
import { shapeValues } from './shapeValues.ts';

/** Delays nearer to one another than this, times 1/reach of the band, can't be told apart while one of them is being fitted. */
const SAME_DELAY = 1.5;
/** Two shapes share a channel where both have this share of their size. */
const SHARED_SHARE = 0.15;

/** Whether a shape found beside an open conclusion is a remainder of it: a ripple of the same delay, or channels in common. */
export function isSamePlace(band: Band, open: OpenConclusion, shape: ChannelShape): boolean {
  if (open.metric !== 'level') return false;
  if (open.shape.kind === 'ripple' || shape.kind === 'ripple') {
    if (open.shape.kind !== 'ripple' || shape.kind !== 'ripple') return false;
    const apartNs = Math.abs(foldedNs(band, open.shape.delayNs) - foldedNs(band, shape.delayNs));
    return apartNs * band.reachMhz < 1000 * SAME_DELAY;
  }
  return overlaps(band, open.shape, shape);
}

/** Whether two local shapes share channels. */
export function overlaps(band: Band, a: ChannelShape, b: ChannelShape): boolean {
  const valuesA = shapeValues(band, a);
  const valuesB = shapeValues(band, b);
  return valuesA.some((value, k) => value > SHARED_SHARE && valuesB[k]! > SHARED_SHARE);
}
