import { median } from '../../ingest/signal/median.ts';
import { areRelated, atPoint, beginEvent, startAt } from './eventState.ts';
import type { EventState, PointTrend, SiteTrend } from './state.ts';
import { subtree, upstreamOf } from './tree.ts';
import { DAY_MS, type SitePoint } from './types.ts';

/**
 * So many dips within so long are no chance: single sweeps that lie off by the threshold and are no nonsense come less than once
 * in a hundred days.
 */
const ENOUGH = [
  { dips: 3, withinMs: DAY_MS },
  { dips: 4, withinMs: 3 * DAY_MS },
] as const;
const REMEMBERED_MS = 3 * DAY_MS;
const MOST_REMEMBERED = 40;
/** Dips of one contact have about one depth. */
const COMPARABLE = 0.45;
/** A point upstream that shows so many of them shows them all: some fall between its sweeps. */
const SHARED = 0.4;
/** Without a dip for so long, it is over. */
const OVER_MS = 4 * DAY_MS;

/** Remembers that a point lay off for a sweep or so and came back. */
export function rememberDip(point: PointTrend, atMs: number, sizeDb: number): void {
  point.dips.push([atMs, sizeDb]);
  point.dips = point.dips.filter(([at]) => atMs - at <= REMEMBERED_MS).slice(-MOST_REMEMBERED);
}

/** Looks whether the dips at a point have become too many, and carries an event of dips on. */
export function watchDips(trend: SiteTrend, site: readonly SitePoint[], pointId: number, atMs: number): void {
  const point = trend.points[pointId]!;
  if (point.dips.length === 0) return;
  const depths = depthsOf(point, atMs);
  const latest = point.dips[point.dips.length - 1];
  const open = trend.shared.events.find(
    (event) => event.kind === 'dips' && event.closedMs === null && areRelated(site, event.root, pointId),
  );
  if (open) {
    if (latest) carryOn(trend, site, open, pointId, latest, depths.length);
    return;
  }
  if (!ENOUGH.some(({ dips, withinMs }) => countSince(point, atMs - withinMs, depths) >= dips)) return;
  begin(trend, site, pointId, depths, atMs);
}

/** Ends what has not come back for days. */
export function endDips(trend: SiteTrend, atMs: number): void {
  for (const event of trend.shared.events) {
    if (event.kind !== 'dips' || event.closedMs !== null) continue;
    const last = event.evidence['lastMs'] as number;
    if (atMs - last > OVER_MS) event.closedMs = last;
  }
}

/** Dips of comparable depth among those remembered, dB. */
function depthsOf(point: PointTrend, atMs: number): number[] {
  const sizes = point.dips
    .filter(([at, size]) => size < 0 && atMs - at <= REMEMBERED_MS)
    .map(([, size]) => size);
  const middle = median(sizes);
  return middle === null ? [] : sizes.filter((size) => Math.abs(size) >= COMPARABLE * Math.abs(middle));
}

function countSince(point: PointTrend, sinceMs: number, depths: readonly number[]): number {
  const shallowest = Math.max(...depths);
  return point.dips.filter(([at, size]) => at >= sinceMs && size <= shallowest).length;
}

function begin(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  depths: readonly number[],
  atMs: number,
): void {
  const root = rootOf(trend, site, pointId, depths.length, atMs);
  const point = trend.points[pointId]!;
  const first = point.dips.find(([, size]) => depths.includes(size))!;
  const before = earlierEvent(trend, site, root, first[0]);
  const event =
    before ??
    beginEvent(trend, {
      kind: 'dips',
      metric: 'level',
      feature: 'level',
      detectedMs: atMs,
      onsetMs: first[0],
      onsetLowMs: first[0] - point.gapMs,
      onsetHighMs: first[0],
      root,
    });
  if (first[0] < event.onsetMs) {
    event.onsetMs = first[0];
    event.onsetLowMs = first[0] - point.gapMs;
    event.onsetHighMs = first[0];
  }
  event.kind = 'dips';
  event.metric = 'level';
  event.shape = 'flat';
  event.root = root;
  event.closedMs = null;
  event.at = [];
  event.evidence = { ...event.evidence, times: 0, lastMs: atMs };
  for (const id of subtree(site, root)) {
    const own = trend.points[id] ? depthsOf(trend.points[id], atMs) : [];
    if (own.length === 0) continue;
    event.at.push(startAt(id));
    measure(event, id, own);
  }
  event.evidence['times'] = Math.max(...event.at.map(({ sweeps }) => sweeps), depths.length);
}

/** A step told here within the days before was the first of the dips. */
function earlierEvent(
  trend: SiteTrend,
  site: readonly SitePoint[],
  root: number,
  firstMs: number,
): EventState | null {
  return (
    trend.shared.events.find(
      (event) =>
        event.kind === 'step' &&
        event.slow === null &&
        event.onsetMs >= firstMs - DAY_MS &&
        areRelated(site, event.root, root),
    ) ?? null
  );
}

function rootOf(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  dips: number,
  atMs: number,
): number {
  let root = pointId;
  for (const above of upstreamOf(site, pointId)) {
    const point = trend.points[above.pointId];
    if (!point || depthsOf(point, atMs).length < Math.max(1, SHARED * dips)) break;
    root = above.pointId;
  }
  return root;
}

function carryOn(
  trend: SiteTrend,
  site: readonly SitePoint[],
  event: EventState,
  pointId: number,
  [latestMs]: readonly [number, number],
  dips: number,
): void {
  const last = event.evidence['lastMs'] as number;
  if (latestMs <= last) return;
  const isHere = pointId === event.root || atPoint(event, pointId) !== undefined;
  const times = (event.evidence['times'] as number) + (isHere ? 1 : 0);
  event.evidence = { ...event.evidence, times, lastMs: latestMs };
  if (atPoint(event, pointId) === undefined) event.at.push(startAt(pointId));
  measure(event, pointId, depthsOf(trend.points[pointId]!, latestMs));
  const root = rootOf(trend, site, event.root, dips, latestMs);
  if (atPoint(event, root) !== undefined) event.root = root;
}

function measure(event: EventState, pointId: number, depths: readonly number[]): void {
  const at = atPoint(event, pointId)!;
  const sorted = depths.toSorted((a, b) => a - b);
  at.sweeps = depths.length;
  at.closedMs = null;
  at.sizeDb = median(sorted) ?? 0;
  at.sizeLowDb = sorted[Math.floor(0.1 * sorted.length)] ?? at.sizeDb;
  at.sizeHighDb = sorted[Math.ceil(0.9 * sorted.length) - 1] ?? at.sizeDb;
}
