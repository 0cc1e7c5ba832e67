import { LEVEL_FEATURES } from '../bandBasis.ts';
import { areRelated } from '../eventState.ts';
import type { EventState, PointTrend, SiteTrend } from '../state.ts';
import { subtree } from '../tree.ts';
import { DAY_MS, type Features, type SitePoint } from '../types.ts';
import type { Look } from './looks.ts';
import { blockStartMs, perDbOf, type Sighting } from './scan.ts';

/** A fall of MER that a loss of level may explain, dB for dB, with some allowance for the error of both. */
const MER_PER_LEVEL = 1.5;
/** Smaller than this beside an open change is what its fit leaves. */
const LEFTOVER_SHARE = 0.35;
/** So clear and so large, it is another fault even where it began with the first. */
const OTHER_Z = 10;
const OTHER_SHARE = 0.5;
const NEAR_MS = 4 * DAY_MS;

/**
 * What the fit of an open change leaves belongs to it: at the same hop; at hops that share points with it, from about the same time and in
 * the same direction; and anything much smaller. Far beyond chance and nearly as large, it is another fault: what the fit explains of the
 * first has been taken out already. In the same line that holds for level only, as MER falls by less from hop to hop, and while the first
 * is open.
 */
export function isLeftover(
  trend: SiteTrend,
  site: readonly SitePoint[],
  { best, contrast }: Sighting,
): boolean {
  const isMer = best.shape === 'mer';
  if (contrast.members.some((id) => isLeftByChannels(trend.points[id]!, best))) return true;
  return trend.shared.events.some(({ slow, closedMs, root, onsetLowMs, onsetHighMs }) => {
    if (slow === null || (slow.shape === 'mer') !== isMer) return false;
    if (closedMs !== null && blockStartMs(best.fromBlock) > closedMs) return false;
    const isShared =
      contrast.members.includes(root) || contrast.members.some((id) => slow.reach.includes(id));
    // Points that a fall of MER reaches are left out of the contrasts, and yet the next hop up or down shows the same fall.
    if (!isMer && !isShared) return false;
    if (root === contrast.hopTo) return true;
    const share = Math.abs(best.sizeDb) / Math.max(Math.abs(slow.peakDb), 1e-3);
    if (share < LEFTOVER_SHARE) return true;
    const isOther =
      Math.abs(best.z) >= OTHER_Z &&
      share >= OTHER_SHARE &&
      !((isMer || closedMs !== null) && areRelated(site, root, contrast.hopTo));
    return beganNear(best, { onsetLowMs, onsetHighMs }) && !isOther;
  });
}

export function beganNear(
  { fromBlock }: Look,
  { onsetLowMs, onsetHighMs }: Pick<EventState, 'onsetLowMs' | 'onsetHighMs'>,
): boolean {
  const onsetMs = blockStartMs(fromBlock);
  return onsetMs >= onsetLowMs - NEAR_MS && onsetMs <= onsetHighMs + NEAR_MS;
}

/** What a suck-out or an echo puts on the whole band is taken out as well as its size is known. */
function isLeftByChannels(point: PointTrend, best: Look): boolean {
  if (point.cleared === null || best.shape === 'mer') return false;
  const perDb = perDbOf(best, point);
  const lengthOf = (features: Partial<Features>) =>
    Math.hypot(...LEVEL_FEATURES.map((feature) => features[feature] ?? 0));
  return Math.abs(best.sizeDb) * lengthOf(perDb) < LEFTOVER_SHARE * lengthOf(point.cleared);
}

/** What is known of one hop shows at the hops around it as well, and by less. */
export function isShadow(
  trend: SiteTrend,
  site: readonly SitePoint[],
  sighting: Sighting,
  sightings: readonly Sighting[],
): boolean {
  if (sighting.best.shape !== 'mer') return false;
  return sightings.some(
    (other) =>
      other.best.shape === 'mer' &&
      Math.abs(other.best.z) >= Math.abs(sighting.best.z) &&
      isKnown(trend, site, other),
  );
}

/**
 * A fall of level upstream costs MER at the gear and the meters below it, dB for dB at most, and not before it began: that is no event
 * of its own.
 */
export function isKnown(trend: SiteTrend, site: readonly SitePoint[], { best, contrast }: Sighting): boolean {
  if (best.shape !== 'mer' || best.sizeDb > 0) return false;
  const onsetMs = blockStartMs(best.fromBlock);
  return trend.shared.events.some(
    (event) =>
      event.closedMs === null &&
      event.metric !== 'mer' &&
      event.kind !== 'dips' &&
      onsetMs >= event.onsetLowMs - NEAR_MS &&
      MER_PER_LEVEL * lossOf(event) >= -best.sizeDb &&
      subtree(site, event.root).has(contrast.hopTo),
  );
}

/** How far an event has taken level down where it did so most, dB. */
function lossOf({ slow, at }: EventState): number {
  return slow === null ? -Math.min(0, ...at.map(({ sizeDb }) => sizeDb)) : -slow.sizeDb;
}
