import type { ChannelConclusion, OpenConclusion } from './channels/channelTrend.ts';
import { effectAt } from './channels/effectAt.ts';
import { atPoint, startAt } from './eventState.ts';
import { placeRoot, type Shows } from './placing.ts';
import { hundredths } from './rounding.ts';
import type { EventAt, EventState, SiteTrend } from './state.ts';
import { NORMAL_80 } from './statistics/normal.ts';
import { subtree, upstreamOf } from './tree.ts';
import type { SitePoint } from './types.ts';

/** A point shows another's conclusion when it has so much of its size. */
const SHARED = 0.5;

/**
 * Places an event at single channels at the point nearest the handoff that shows it, and measures it at all points below that do. Points
 * that came to conclusions of their own on different branches share a place above them unless what feeds both shows nothing of it.
 */
export function placeChannelEvent(
  trend: SiteTrend,
  site: readonly SitePoint[],
  event: EventState,
  atMs: number,
): void {
  const tops = topsOf(site, ownConclusions(trend, event));
  if (tops.length === 0) return;
  const [own] = tops as [Own];
  const shows = (id: number) => showsAt(trend, event, own, id);
  const place = (id: number) => placeRoot(trend, site, id, atMs, shows);
  const shared = sharedFeeder(
    site,
    tops.map(({ pointId }) => pointId),
  );
  const places =
    shared !== null && (tops.length === 1 || shows(shared) !== 'no')
      ? [place(shared)]
      : tops.map(({ pointId }) => place(pointId));

  const [root, ...others] = new Set(places.map((placed) => placed.root));
  event.root = root!;
  event.alsoPossible = others;
  event.sure = others.length === 0 && places.every(({ sure }) => sure);
  if (!places.some(({ waiting }) => waiting)) event.waitingUntilMs = Math.min(event.waitingUntilMs, atMs);
  measureFollowers(trend, site, event, own);
}

export function setSize(at: EventAt, value: number, low: number, high: number): void {
  at.sizeDb = hundredths(value);
  at.sizeLowDb = hundredths(Math.min(low, high));
  at.sizeHighDb = hundredths(Math.max(low, high));
}

interface Own {
  readonly pointId: number;
  readonly conclusion: ChannelConclusion;
}

/** Points of an event that came to it by themselves, with what they concluded. */
export function ownConclusions(trend: SiteTrend, event: EventState): Own[] {
  return event.at.flatMap(({ pointId, conclusion: number, closedMs }) => {
    if (number === null || closedMs !== null) return [];
    const open = trend.points[pointId]!.channels.conclusions.find((each) => each.number === number);
    return open === undefined ? [] : [{ pointId, conclusion: asTold(open) }];
  });
}

/** What is worked out between two tellings may be far off for a while: a young step is a small part of the stretch it is averaged over. */
function asTold(open: OpenConclusion): ChannelConclusion {
  return {
    ...open,
    sizeDb: { ...open.sizeDb, value: open.toldDb },
    onsetMs: { ...open.onsetMs, value: open.toldOnsetMs },
  };
}

/** Those that none of the others feeds. */
function topsOf(site: readonly SitePoint[], own: readonly Own[]): Own[] {
  return own.filter(({ pointId }) => {
    const above = upstreamOf(site, pointId).map((point) => point.pointId);
    return !own.some((other) => above.includes(other.pointId));
  });
}

/** The nearest point that feeds all of `pointIds`, or is the only one of them; null where there is none. */
function sharedFeeder(site: readonly SitePoint[], pointIds: readonly number[]): number | null {
  const [first, ...others] = pointIds.map((id) => [
    id,
    ...upstreamOf(site, id).map(({ pointId }) => pointId),
  ]);
  return first!.find((id) => others.every((line) => line.includes(id))) ?? null;
}

function showsAt(trend: SiteTrend, event: EventState, own: Own, pointId: number): Shows {
  const at = atPoint(event, pointId);
  if (at !== undefined && at.conclusion !== null && at.closedMs === null) return 'yes';
  const effect = effectOf(trend, own.conclusion, pointId);
  if (effect === null) return 'unknown';
  return isShared(trend, own, effect.sizeDb) ? 'yes' : 'no';
}

function effectOf(trend: SiteTrend, conclusion: ChannelConclusion, pointId: number) {
  const point = trend.points[pointId];
  return point === undefined ? null : effectAt(point.channels, conclusion);
}

/** A peak between channels may have been taken for far too large, so a point is held against what shows at the one that concluded it. */
function isShared(trend: SiteTrend, { pointId, conclusion }: Own, sizeDb: number): boolean {
  const ownDb = effectOf(trend, conclusion, pointId)?.sizeDb ?? conclusion.sizeDb.value;
  return sizeDb / ownDb >= SHARED;
}

/** What the points below show that came to no conclusion of their own. */
function measureFollowers(trend: SiteTrend, site: readonly SitePoint[], event: EventState, own: Own): void {
  const below = subtree(site, event.root);
  event.at = event.at.filter((at) => at.conclusion !== null || below.has(at.pointId));
  for (const id of below) {
    const at = atPoint(event, id);
    if (at !== undefined && at.conclusion !== null) continue;
    const effect = effectOf(trend, own.conclusion, id);
    const isShown = effect !== null && isShared(trend, own, effect.sizeDb);
    if (!isShown && id !== event.root) {
      event.at = event.at.filter((other) => other !== at);
      continue;
    }
    const shown = at ?? startAt(id);
    if (at === undefined) event.at.push(shown);
    const { sizeDb, sizeLowDb, sizeHighDb } = atPoint(event, own.pointId)!;
    if (effect === null) setSize(shown, sizeDb, sizeLowDb, sizeHighDb);
    else {
      const reach = NORMAL_80 * effect.errorDb;
      setSize(shown, effect.sizeDb, effect.sizeDb - reach, effect.sizeDb + reach);
    }
  }
}
