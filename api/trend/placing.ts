import type { EventState, SiteTrend } from './state.ts';
import { upstreamOf } from './tree.ts';
import type { SitePoint } from './types.ts';

/** Whether a point shows an event; unknown when it hasn't been read since the onset. */
export type Shows = 'yes' | 'no' | 'unknown';

export interface Placed {
  /** The point nearest the root of the tree that shows the event. */
  readonly root: number;
  /** The point that feeds it was read and stood still; true at the handoff. */
  readonly sure: boolean;
  /** A point upstream that usually reports has still to be heard. */
  readonly waiting: boolean;
}

/** A change may have come at any moment between two sweeps: a point read in the last part of that time has most likely shown it. */
const LATE_SHARE = 0.94;
/** A point that has missed so many sweeps isn't waited for. */
const MISSED_SWEEPS = 3;

/** Follows an event from the point where it was seen towards the handoff, as far as points show it. */
export function placeRoot(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  atMs: number,
  shows: (pointId: number) => Shows,
): Placed {
  let placed: Placed = { root: pointId, sure: true, waiting: false };
  let unheard = false;
  let waiting = false;
  for (const above of upstreamOf(site, pointId)) {
    const answer = shows(above.pointId);
    if (answer === 'no') break;
    if (answer === 'yes') {
      placed = { root: above.pointId, sure: true, waiting: false };
      unheard = false;
      waiting = false;
      continue;
    }
    unheard = true;
    waiting ||= isReporting(trend, above.pointId, atMs);
  }
  return { ...placed, sure: !unheard, waiting };
}

/** Until when a new event waits for points upstream: by then each has been read once more, if it reports at all. */
export function heardByMs(trend: SiteTrend, atMs: number): number {
  return atMs + 1.25 * Math.max(...Object.values(trend.points).map(({ gapMs }) => gapMs));
}

/** Whether a point read last at `lastMs` has most likely been read since a change that came in its onset's time. */
export function isHeard(
  { onsetLowMs, onsetMs }: Pick<EventState, 'onsetLowMs' | 'onsetMs'>,
  lastMs: number | null,
): boolean {
  return lastMs !== null && lastMs >= onsetLowMs + LATE_SHARE * (onsetMs - onsetLowMs);
}

function isReporting(trend: SiteTrend, pointId: number, atMs: number): boolean {
  const point = trend.points[pointId];
  if (!point || point.lastMs === null || point.reference === null) return false;
  return atMs - point.lastMs <= MISSED_SWEEPS * point.gapMs;
}
