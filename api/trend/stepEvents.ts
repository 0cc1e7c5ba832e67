import { breakHistory, forgetHistory } from './blocks.ts';
import { areRelated, atPoint, beginEvent, closeEvent, startAt } from './eventState.ts';
import { isHeard, placeRoot, type Shows } from './placing.ts';
import {
  agree,
  anchorAt,
  correlationOf,
  neededDb,
  noiseDb,
  type QuickFeature,
  standingOut,
  tellStep,
} from './quick.ts';
import { thousandths } from './rounding.ts';
import { classify } from './shape.ts';
import type { EventAt, EventState, PointTrend, SiteTrend, Suspicion } from './state.ts';
import { stretchRoot, subtree } from './tree.ts';
import { byFeature, DAY_MS, FEATURES, type Features, HOUR_MS, type SitePoint } from './types.ts';

const NORMAL_80 = 1.2816;
/** The noise of a day changes from day to day: so much wider four of five intervals hold the truth on the simulated fleet. */
const WIDER = 1.09;
/** The sizes of a step are refined over so long, and over so many sweeps. */
const SETTLING_MS = DAY_MS;
const SETTLING_SWEEPS = 12;
/** The same change at the same hop within so long is one event that grows. */
const GROWING_MS = 3 * DAY_MS;
/** A point reads what has ended above it within so many sweeps. */
const FOLLOWING_SWEEPS = 4;
/** An event has gone when so little of it is left. */
const RETURNED_SHARE = 0.4;
/** Sweeps at a point that are averaged before the level there counts as new. */
const ANCHOR_SWEEPS = 3;
/** A dip that lasts so many sweeps has come to stay. */
const LASTING_SWEEPS = 6;

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
  const dips = dipsAt(trend, site, pointId);
  if (dips !== null && isBackFrom(dips, size, noiseDb(trend.points[pointId]!.quick[feature]))) {
    endSuspicion(trend.points[pointId]!, suspicion);
    breakHistory(trend.points[pointId]!, suspicion.sinceMs);
    return;
  }
  if (suspicion.sweeps.length < LASTING_SWEEPS && dips !== null && isDip(dips, size)) return;
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

function dipsAt(trend: SiteTrend, site: readonly SitePoint[], pointId: number): EventState | null {
  const isHere = ({ kind, closedMs, root }: EventState) =>
    kind === 'dips' && closedMs === null && areRelated(site, root, pointId);
  return trend.shared.events.find(isHere) ?? null;
}

/** While dips are known to come and go here, one that lasts two sweeps is one of them. */
function isDip({ at }: EventState, sizeDb: number): boolean {
  return Math.abs(sizeDb) < 3 * Math.abs(at[0]?.sizeDb ?? 0);
}

/** A dip that was taken for a step at first ends while dips are known: the level is back where it was. */
function isBackFrom({ at }: EventState, sizeDb: number, noise: number): boolean {
  return agree(-(at[0]?.sizeDb ?? 0), sizeDb, noise);
}

/** Forgets the suspicion and begins anew at the latest sweep. */
function endSuspicion(point: PointTrend, suspicion: Suspicion): void {
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

/** The point's level returns to where it lay before an event, or most of the way. */
function takeReturn(
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
    waitingUntilMs: atMs + 1.25 * Math.max(...Object.values(trend.points).map(({ gapMs }) => gapMs)),
  });
  for (const id of [pointId, ...partners]) settleAt(trend, event, id, feature);
  moveRoot(trend, site, event, pointId, atMs);
}

function settlingEnd(trend: SiteTrend, pointId: number, atMs: number): number {
  return atMs + Math.max(SETTLING_MS, SETTLING_SWEEPS * trend.points[pointId]!.gapMs);
}

/** Makes the suspicion at a point part of the event. */
function settleAt(trend: SiteTrend, event: EventState, pointId: number, feature: QuickFeature): void {
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
  event.root = pointId;
  const below = subtree(site, pointId);
  event.alsoPossible = event.alsoPossible.filter((id) => !below.has(id));
  event.sure = event.alsoPossible.length === 0;
  breakHistory(point, event.onsetMs);
  measure(event, pointId, point, event.feature as QuickFeature);
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
function measure(event: EventState, pointId: number, point: PointTrend, feature: QuickFeature): void {
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
  event.root = placed.root;
  const below = subtree(site, placed.root);
  event.alsoPossible = event.alsoPossible.filter((id) => !below.has(id));
  event.sure = placed.sure && event.alsoPossible.length === 0;
  if (!placed.waiting) event.waitingUntilMs = Math.min(event.waitingUntilMs, atMs);
}
