import { breakHistory } from './blocks.ts';
import { areRelated, atPoint, beginEvent, startAt } from './eventState.ts';
import { heardByMs, isHeard, placeRoot, type Shows } from './placing.ts';
import { agree, noiseDb, type QuickFeature, standingOut, tellStep } from './quick.ts';
import { thousandths } from './rounding.ts';
import type { EventState, PointTrend, SiteTrend, Suspicion } from './state.ts';
import { isOfDips, takeReturn } from './stepReturns.ts';
import { measure, settleAt } from './stepSizes.ts';
import { stretchRoot, subtree } from './tree.ts';
import { byFeature, DAY_MS, type Features, HOUR_MS, type SitePoint } from './types.ts';

/** The sizes of a step are refined over so long, and over so many sweeps. */
const SETTLING_MS = DAY_MS;
const SETTLING_SWEEPS = 12;
/** The same change at the same hop within so long is one event that grows. */
const GROWING_MS = 3 * DAY_MS;

/**
 * Looks whether the suspicion at a point is confirmed: by a second sweep there that agrees with the first, by another point of the
 * site that shows the same at the same time, or by an event that is open already. A single sweep never is.
 */
export function confirmStep(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  atMs: number,
): void {
  const point = trend.points[pointId]!;
  const { suspicion } = point;
  if (suspicion === null) return;
  const change = suspicion.sweeps[suspicion.sweeps.length - 1]!.change;
  const feature = standingOut(point, change, 0.7);
  if (feature === null) return;

  const partners = partnersOf(trend, site, pointId, suspicion, feature);
  const seen = [{ point, changesDb: agreeing(suspicion, feature, point) }];
  for (const id of partners) {
    const other = trend.points[id]!;
    seen.push({ point: other, changesDb: agreeing(other.suspicion!, feature, other) });
  }
  const confirmed = tellStep(seen, feature) || youngEvent(trend, site, pointId, suspicion, feature) !== null;
  if (confirmed) takeStep(trend, site, pointId, suspicion, feature, atMs);
}

/** The latest sweeps of a suspicion, back to the first that doesn't agree with the last. */
function agreeing({ sweeps }: Suspicion, feature: QuickFeature, point: PointTrend): number[] {
  const changes = sweeps.map(({ change }) => change[feature]);
  const last = changes[changes.length - 1]!;
  const from = changes.findLastIndex((value) => !agree(value, last, noiseDb(point.quick[feature])));
  return changes.slice(from + 1);
}

/** Other points that are suspected of the same change since about the same time. */
function partnersOf(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  suspicion: Suspicion,
  feature: QuickFeature,
): number[] {
  const point = trend.points[pointId]!;
  const size = suspicion.sweeps[suspicion.sweeps.length - 1]!.change[feature];
  return site
    .map((candidate) => candidate.pointId)
    .filter((id) => id !== pointId && isAlike(site, pointId, id, feature))
    .filter((id) => {
      const other = trend.points[id];
      if (!other?.suspicion) return false;
      const reach = 1.5 * Math.max(point.gapMs, other.gapMs);
      if (Math.abs(other.suspicion.sinceMs - suspicion.sinceMs) > reach) return false;
      const last = other.suspicion.sweeps[other.suspicion.sweeps.length - 1]!;
      return agree(last.change[feature], size, noiseDb(other.quick[feature]));
    });
}

/** A level shows alike at two points unless gear between them corrects itself; MER does so in any case. */
function isAlike(site: readonly SitePoint[], a: number, b: number, feature: QuickFeature): boolean {
  return feature === 'mer' || stretchRoot(site, a) === stretchRoot(site, b);
}

/** An open event of about this moment that this point hasn't shown yet. */
function youngEvent(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  suspicion: Suspicion,
  feature: QuickFeature,
): EventState | null {
  const point = trend.points[pointId]!;
  const own = suspicion.sweeps[suspicion.sweeps.length - 1]!.change;
  return (
    trend.shared.events.find((event) => {
      if (event.slow !== null || event.feature === null || event.closedMs !== null) return false;
      if (atPoint(event, pointId) !== undefined || !isAlike(site, pointId, event.root, feature)) return false;
      // The change may have come at any moment since the sweep before: long ago where the point was silent.
      const reach = Math.max(HOUR_MS, 2 * point.gapMs) - point.gapMs;
      if (suspicion.priorMs - event.onsetHighMs > reach || event.onsetMs - suspicion.sinceMs > reach)
        return false;
      // A change of the whole band may stand out by its level at one point and by its tilt at another.
      const told = event.feature;
      return event.at.some(({ change }) =>
        [feature, told].every((name) => change && agree(change[name], own[name], noiseDb(point.quick[name]))),
      );
    }) ?? null
  );
}

function takeStep(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  suspicion: Suspicion,
  feature: QuickFeature,
  atMs: number,
): void {
  const size = suspicion.sweeps[suspicion.sweeps.length - 1]!.change[feature];
  const young = youngEvent(trend, site, pointId, suspicion, feature);
  if (young !== null) {
    settleAt(trend, young, pointId, young.feature as QuickFeature);
    moveRoot(trend, site, young, pointId, atMs);
    return;
  }
  if (takeReturn(trend, pointId, suspicion, feature, size)) return;
  if (isOfDips(trend, site, pointId, suspicion, feature, size)) return;
  const grown = growing(trend, pointId, feature, size, atMs);
  if (grown !== null) {
    settleAt(trend, grown, pointId, feature);
    grown.settlingUntilMs = settlingEnd(trend, pointId, atMs);
    return;
  }
  const again = endedAlike(trend, pointId, suspicion, feature, size);
  if (again === null) begin(trend, site, pointId, suspicion, feature, atMs);
  else reopen(trend, site, again, pointId, suspicion, feature, atMs);
}

/** A step of the same size at this point that ended within the last day. */
function endedAlike(
  trend: SiteTrend,
  pointId: number,
  { sinceMs }: Suspicion,
  feature: QuickFeature,
  sizeDb: number,
): EventState | null {
  const noise = noiseDb(trend.points[pointId]!.quick[feature]);
  const isAgain = (event: EventState) =>
    event.kind === 'step' &&
    event.slow === null &&
    event.feature === feature &&
    event.closedMs !== null &&
    sinceMs >= event.closedMs &&
    sinceMs - event.closedMs <= DAY_MS &&
    event.at.some(
      (at) => at.pointId === pointId && at.change !== null && agree(at.change[feature], sizeDb, noise),
    );
  return trend.shared.events.findLast(isAgain) ?? null;
}

/** What went and has come again is the same event. */
function reopen(
  trend: SiteTrend,
  site: readonly SitePoint[],
  event: EventState,
  pointId: number,
  suspicion: Suspicion,
  feature: QuickFeature,
  atMs: number,
): void {
  event.closedMs = null;
  event.evidence = { ...event.evidence, lastMs: suspicion.sinceMs };
  event.settlingUntilMs = settlingEnd(trend, pointId, atMs);
  for (const id of [pointId, ...partnersOf(trend, site, pointId, suspicion, feature)]) {
    event.at = event.at.filter((at) => at.pointId !== id);
    settleAt(trend, event, id, feature);
  }
  moveRoot(trend, site, event, pointId, atMs);
}

/** An event of the same kind that began here lately, and goes on. */
function growing(
  trend: SiteTrend,
  pointId: number,
  feature: QuickFeature,
  sizeDb: number,
  atMs: number,
): EventState | null {
  return (
    trend.shared.events.find((event) => {
      if (
        event.kind !== 'step' ||
        event.slow !== null ||
        event.feature !== feature ||
        event.closedMs !== null
      )
        return false;
      const at = atPoint(event, pointId);
      return (
        at !== undefined &&
        Math.sign(at.sizeDb) === Math.sign(sizeDb) &&
        atMs - event.settlingUntilMs < GROWING_MS
      );
    }) ?? null
  );
}

function begin(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  suspicion: Suspicion,
  feature: QuickFeature,
  atMs: number,
): void {
  const partners = partnersOf(trend, site, pointId, suspicion, feature);
  const suspicions = [suspicion, ...partners.map((id) => trend.points[id]!.suspicion!)];
  const onsetMs = Math.min(...suspicions.map(({ sinceMs }) => sinceMs));
  const lowMs = Math.max(...suspicions.map(({ priorMs }) => Math.min(priorMs, onsetMs)));
  const event = beginEvent(trend, {
    kind: 'step',
    metric: 'level',
    feature,
    detectedMs: atMs,
    onsetMs,
    onsetLowMs: Math.min(lowMs, onsetMs),
    onsetHighMs: onsetMs,
    root: pointId,
    settlingUntilMs: settlingEnd(trend, pointId, atMs),
    waitingUntilMs: heardByMs(trend, atMs),
  });
  for (const id of [pointId, ...partners]) settleAt(trend, event, id, feature);
  moveRoot(trend, site, event, pointId, atMs);
}

function settlingEnd(trend: SiteTrend, pointId: number, atMs: number): number {
  return atMs + Math.max(SETTLING_MS, SETTLING_SWEEPS * trend.points[pointId]!.gapMs);
}

/** Makes a point above an event its root: it moved as well, as its means over hours show. */
export function joinStep(
  trend: SiteTrend,
  site: readonly SitePoint[],
  event: EventState,
  pointId: number,
  { before, change }: { readonly before: Features; readonly change: Features },
): void {
  const point = trend.points[pointId]!;
  const at = atPoint(event, pointId) ?? startAt(pointId);
  if (!event.at.includes(at)) event.at.push(at);
  at.before = before;
  at.change = byFeature((name) => thousandths(change[name]));
  at.sweeps = SETTLING_SWEEPS;
  rootAt(site, event, pointId, true);
  breakHistory(point, event.onsetMs);
  measure(event, pointId, point, event.feature as QuickFeature);
}

/** Places an event at the point nearest the handoff that shows it, or leaves it open while one upstream has still to be heard. */
export function moveRoot(
  trend: SiteTrend,
  site: readonly SitePoint[],
  event: EventState,
  fromPoint: number,
  atMs: number,
): void {
  const shows = (id: number): Shows => {
    if (atPoint(event, id) !== undefined) return 'yes';
    const other = trend.points[id];
    if (!other || !isHeard(event, other.lastMs)) return 'unknown';
    const last = other.suspicion?.sweeps[other.suspicion.sweeps.length - 1];
    if (!last || event.feature === null) return 'no';
    const size = event.at[0]?.change?.[event.feature] ?? 0;
    return agree(last.change[event.feature], size, noiseDb(other.quick[event.feature])) ? 'yes' : 'no';
  };
  const from = areRelated(site, event.root, fromPoint) ? event.root : fromPoint;
  const placed = placeRoot(trend, site, from, atMs, shows);
  if (!areRelated(site, event.root, placed.root) && placed.root !== event.root) {
    event.alsoPossible = [...new Set([...event.alsoPossible, placed.root])];
    event.sure = false;
    return;
  }
  rootAt(site, event, placed.root, placed.sure);
  if (!placed.waiting) event.waitingUntilMs = Math.min(event.waitingUntilMs, atMs);
}

/** Hops below the root explain nothing that it doesn't. */
function rootAt(site: readonly SitePoint[], event: EventState, root: number, isSure: boolean): void {
  const below = subtree(site, root);
  event.root = root;
  event.alsoPossible = event.alsoPossible.filter((id) => !below.has(id));
  event.sure = isSure && event.alsoPossible.length === 0;
}
