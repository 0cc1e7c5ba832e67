import { breakHistory, forgetHistory } from './blocks.ts';
import { areRelated, atPoint, closeEvent } from './eventState.ts';
import { agree, noiseDb, type QuickFeature } from './quick.ts';
import { thousandths } from './rounding.ts';
import type { EventAt, EventState, PointTrend, SiteTrend, Suspicion } from './state.ts';
import { endSuspicion, LASTING_SWEEPS } from './stepSizes.ts';
import { HOUR_MS, type SitePoint } from './types.ts';

/** A point reads what has ended above it within so many sweeps. */
const FOLLOWING_SWEEPS = 4;
/** An event has gone when so little of it is left. */
const RETURNED_SHARE = 0.4;

/** The point's level returns to where it lay before an event, or most of the way. */
export function takeReturn(
  trend: SiteTrend,
  pointId: number,
  suspicion: Suspicion,
  feature: QuickFeature,
  sizeDb: number,
): boolean {
  const ended = trend.shared.events.filter((event) => {
    const at = atPoint(event, pointId);
    if (
      !at ||
      (event.closedMs !== null && !isFollowing(event, at, suspicion, trend.points[pointId]!)) ||
      event.kind === 'dips' ||
      event.feature !== feature ||
      Math.sign(at.sizeDb) === Math.sign(sizeDb)
    )
      return false;
    const full = at.change?.[feature] ?? at.sizeDb;
    return (
      Math.abs(full + sizeDb) <=
      Math.max(RETURNED_SHARE * Math.abs(full), 4 * noiseDb(trend.points[pointId]!.quick[feature]))
    );
  });
  if (ended.length === 0) return false;
  const point = trend.points[pointId]!;
  endSuspicion(point, suspicion);
  breakHistory(point, suspicion.sinceMs);
  for (const event of ended) {
    atPoint(event, pointId)!.closedMs = suspicion.sinceMs;
    if (event.closedMs !== null) continue;
    if (event.root !== pointId && event.at.some(({ closedMs }) => closedMs === null)) continue;
    closeEvent(event, suspicion.sinceMs);
    if (event.slow !== null) for (const id of event.slow.reach) forgetHistory(trend.points[id]!);
    if (suspicion.sinceMs - latestOnsetMs(event) < 6 * HOUR_MS) rememberDips(trend, event);
  }
  return true;
}

/** Where an event has just ended at its root, a point below that still shows it follows when it is read next. */
function isFollowing(event: EventState, at: EventAt, { sinceMs }: Suspicion, { gapMs }: PointTrend): boolean {
  return (
    at.pointId !== event.root &&
    at.closedMs === event.closedMs &&
    sinceMs - event.closedMs! <= FOLLOWING_SWEEPS * gapMs
  );
}

/** What came and went within hours may be one of many. */
function rememberDips(trend: SiteTrend, event: EventState): void {
  for (const { pointId, sizeDb } of event.at)
    trend.points[pointId]!.dips.push([latestOnsetMs(event), thousandths(sizeDb)]);
}

/** When an event that has come again did so last. */
function latestOnsetMs({ onsetMs, evidence }: EventState): number {
  return (evidence['lastMs'] as number | undefined) ?? onsetMs;
}

/** Whether known dips explain a step: it is one of them that lasts a little, or the end of one that was taken for a step at first. */
export function isOfDips(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  suspicion: Suspicion,
  feature: QuickFeature,
  sizeDb: number,
): boolean {
  const point = trend.points[pointId]!;
  const dips = dipsAt(trend, site, pointId);
  if (dips === null) return false;
  const depthDb = dips.at[0]?.sizeDb ?? 0;
  if (agree(-depthDb, sizeDb, noiseDb(point.quick[feature]))) {
    endSuspicion(point, suspicion);
    breakHistory(point, suspicion.sinceMs);
    return true;
  }
  return suspicion.sweeps.length < LASTING_SWEEPS && Math.abs(sizeDb) < 3 * Math.abs(depthDb);
}

function dipsAt(trend: SiteTrend, site: readonly SitePoint[], pointId: number): EventState | null {
  const isHere = ({ kind, closedMs, root }: EventState) =>
    kind === 'dips' && closedMs === null && areRelated(site, root, pointId);
  return trend.shared.events.find(isHere) ?? null;
}
