import { median } from '../../ingest/signal/median.ts';
import { MAD_TO_SD } from '../../ingest/signal/medianAbsoluteDeviation.ts';
import { blockMeanDb, blockOf, historyEnd } from './blocks.ts';
import type { EventState, PointTrend, SiteTrend } from './state.ts';
import { joinStep } from './stepEvents.ts';
import { stretchRoot, upstreamOf } from './tree.ts';
import { BLOCKS_A_DAY, byFeature, DAY_MS, type Feature, type Features, type SitePoint } from './types.ts';

/** Steps are looked at again for so long. */
const AGAIN_MS = 3 * DAY_MS;
/** A point moved as well when it moved by at least this share of the step, and by so many standard deviations of a block. */
const SHARE = 0.6;
const DEVIATES = 3;

/**
 * Where a point above a step moved by as much, the step began there, though its single sweeps scatter so that none stood out: means over
 * hours tell it. Looked at once a block, from the first whole block after the step on.
 */
export function placeSettledSteps(trend: SiteTrend, site: readonly SitePoint[], atMs: number): void {
  for (const event of trend.shared.events) {
    if (event.kind !== 'step' || event.slow !== null || event.closedMs !== null) continue;
    if (event.feature === null || atMs - event.onsetMs > AGAIN_MS) continue;
    for (const { pointId } of upstreamOf(site, event.root)) {
      const point = trend.points[pointId];
      if (point === undefined || !isComparable(site, event, pointId)) break;
      const around = meansAround(point, blockOf(event.onsetMs));
      if (around === null || !hasMoved(point, event, around)) break;
      joinStep(trend, site, event, pointId, around);
    }
  }
}

/** Gear that corrects itself lets MER through and not level. */
function isComparable(site: readonly SitePoint[], { feature, root }: EventState, pointId: number): boolean {
  return feature === 'mer' || stretchRoot(site, root) === stretchRoot(site, pointId);
}

interface Around {
  readonly before: Features;
  readonly change: Features;
}

/** A day's blocks before one, and as many of those after it as there are; null without any. */
function meansAround({ history }: PointTrend, block: number): Around | null {
  const meanOf = (feature: Feature, from: number, to: number) => {
    const means = Array.from({ length: Math.max(0, to - from) }, (_, i) =>
      blockMeanDb(history, feature, from + i),
    );
    const known = means.filter((mean) => mean !== null);
    return known.length === 0 ? null : known.reduce((sum, mean) => sum + mean, 0) / known.length;
  };
  const end = Math.min(historyEnd(history), block + 1 + BLOCKS_A_DAY);
  if (meanOf('level', block - BLOCKS_A_DAY, block) === null || meanOf('level', block + 1, end) === null)
    return null;
  const before = byFeature((feature) => meanOf(feature, block - BLOCKS_A_DAY, block) ?? 0);
  const change = byFeature(
    (feature) => (meanOf(feature, block + 1, end) ?? before[feature]) - before[feature],
  );
  return { before, change };
}

function hasMoved(point: PointTrend, event: EventState, { change }: Around): boolean {
  const feature = event.feature!;
  const step = event.at.find(({ pointId }) => pointId === event.root)?.change?.[feature];
  if (step === undefined) return false;
  const share = change[feature] / step;
  return (
    share >= SHARE &&
    share <= 1 / SHARE &&
    Math.abs(change[feature]) >= DEVIATES * blockDeviation(point, feature)
  );
}

/** Standard deviation of a block about the one a day before, dB, by the median. */
function blockDeviation({ history }: PointTrend, feature: Feature): number {
  const moves: number[] = [];
  for (let block = history.first + BLOCKS_A_DAY; block < historyEnd(history); block++) {
    const [then, now] = [
      blockMeanDb(history, feature, block - BLOCKS_A_DAY),
      blockMeanDb(history, feature, block),
    ];
    if (then !== null && now !== null) moves.push(Math.abs(now - then));
  }
  return MAD_TO_SD * (median(moves) ?? Number.POSITIVE_INFINITY);
}
