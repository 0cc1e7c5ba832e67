import { addToHour } from './hours.ts';
import { endHour, pointOf, type SiteTrend } from './siteTrend.ts';
import type { HourRow, Observation, Reference } from './types.ts';

/**
 * Takes a sweep of a maintenance window: the hours tell of it, and nothing is concluded from it. For all that is concluded later the
 * point was last read before the window, so that what stays changed after it may have come at any moment of it. Returns the point's
 * hour before this sweep's, when this sweep ended it.
 * @throws RangeError when the observation is older than the state
 */
export function setAside(
  trend: SiteTrend,
  pointId: number,
  observation: Observation,
  reference: Reference | null,
): HourRow | null {
  const { shared } = trend;
  if (shared.lastMs !== null && observation.atMs < shared.lastMs)
    throw new RangeError('sweeps must come in order of time');
  const point = pointOf(trend, pointId);
  const ended = endHour(point, observation.atMs);
  addToHour(point, observation, reference);
  shared.lastMs = observation.atMs;
  return ended;
}

/** Forgets what single sweeps before a window left unconfirmed at a point: the first sweep after it confirms nothing. */
export function forgetSuspicions(trend: SiteTrend, pointId: number): void {
  const point = trend.points[pointId];
  if (point === undefined) return;
  point.suspicion = null;
  point.odd = null;
  point.loss.pending = [];
  point.loss.outage = null;
}
