import { breakHistory } from './blocks.ts';
import { atPoint, closeEvent, startAt } from './eventState.ts';
import { anchorAt, correlationOf, neededDb, noiseDb, type QuickFeature } from './quick.ts';
import { thousandths } from './rounding.ts';
import { classify } from './shape.ts';
import type { EventState, PointTrend, SiteTrend, Suspicion } from './state.ts';
import { NORMAL_80 } from './statistics/normal.ts';
import { byFeature, FEATURES, type Features } from './types.ts';

/** The noise of a day changes from day to day: so much wider four of five intervals hold the truth on the simulated fleet. */
const WIDER = 1.09;
/** Sweeps at a point that are averaged before the level there counts as new. */
const ANCHOR_SWEEPS = 3;
/** A dip that lasts so many sweeps has come to stay. */
export const LASTING_SWEEPS = 6;

/** Makes the suspicion at a point part of the event. */
export function settleAt(trend: SiteTrend, event: EventState, pointId: number, feature: QuickFeature): void {
  const point = trend.points[pointId]!;
  const suspicion = point.suspicion!;
  let at = atPoint(event, pointId);
  if (at === undefined) {
    at = startAt(pointId);
    at.before = suspicion.before;
    event.at.push(at);
  }
  const levels = latestLevels(suspicion);
  at.change = byFeature((name) => thousandths(levels[name] - at.before![name]));
  at.sweeps = Math.min(ANCHOR_SWEEPS, suspicion.sweeps.length);
  endSuspicion(point, suspicion);
  breakHistory(point, suspicion.sinceMs);
  measure(event, at.pointId, point, feature);
}

/** Forgets the suspicion and begins anew at the latest sweep. */
export function endSuspicion(point: PointTrend, suspicion: Suspicion): void {
  anchorAt(point, latestLevels(suspicion));
  point.suspicion = null;
}

function latestLevels({ before, sweeps }: Suspicion): Features {
  const latest = sweeps.slice(-ANCHOR_SWEEPS);
  return byFeature(
    (feature) =>
      before[feature] + latest.reduce((sum, { change }) => sum + change[feature], 0) / latest.length,
  );
}

/** Takes an ordinary sweep of a point into the young events that it shows. */
export function refineSteps(
  trend: SiteTrend,
  pointId: number,
  features: Features<number | null>,
  atMs: number,
): void {
  const point = trend.points[pointId]!;
  for (const event of trend.shared.events) {
    if (
      event.slow !== null ||
      event.feature === null ||
      event.kind !== 'step' ||
      atMs > event.settlingUntilMs
    )
      continue;
    const at = atPoint(event, pointId);
    if (!at?.change || !at.before || at.closedMs !== null) continue;
    at.sweeps++;
    for (const feature of FEATURES) {
      const value = features[feature];
      if (value === null) continue;
      at.change[feature] = thousandths(
        at.change[feature] + (value - at.before[feature] - at.change[feature]) / at.sweeps,
      );
    }
    measure(event, pointId, point, event.feature as QuickFeature);
    if (pointId === event.root && hasNotLasted(event, at.change, at.sweeps, point)) {
      closeEvent(event, atMs);
      event.evidence = { ...event.evidence, closedBy: 'it did not last' };
    }
  }
}

/** The sweeps since tell of hardly half of what those told that raised it. */
function hasNotLasted(event: EventState, change: Features, sweeps: number, point: PointTrend): boolean {
  const feature = event.feature as QuickFeature;
  return sweeps >= LASTING_SWEEPS && Math.abs(change[feature]) < 0.6 * neededDb(point, feature);
}

/** Size, its interval and shape of an event at a point, from the mean change there. */
export function measure(event: EventState, pointId: number, point: PointTrend, feature: QuickFeature): void {
  const at = atPoint(event, pointId)!;
  const errors = byFeature((name) => meanError(point, name, at.sweeps));
  const found = classify(at.change!, errors, point.shapes, feature);
  if (pointId === event.root || event.at.length === 1) {
    event.shape = found.shape;
    event.metric = found.metric;
    event.evidence['features'] = byFeature((name) => ({
      db: at.change![name],
      errorDb: thousandths(errors[name]),
    }));
    if (found.odds) event.evidence['shapeOdds'] = found.odds;
  }
  const shown = event.metric === 'mer' ? 'mer' : event.metric === 'tilt' ? 'tilt' : 'level';
  at.sizeDb = at.change![shown];
  at.sizeLowDb = thousandths(at.sizeDb - NORMAL_80 * errors[shown]);
  at.sizeHighDb = thousandths(at.sizeDb + NORMAL_80 * errors[shown]);
}

/** Of the mean of so many sweeps less the mean of those before; both are correlated in time. */
function meanError(point: PointTrend, feature: keyof Features, sweeps: number): number {
  const quick = point.quick[feature];
  const rho = correlationOf(quick);
  return WIDER * noiseDb(quick) * Math.sqrt(((1 + rho) / (1 - rho)) * (1 / Math.max(1, sweeps) + 1 / 12));
}
