import { areRelated, atPoint, beginEvent, closeEvent, startAt } from './eventState.ts';
import { heardByMs, isHeard, placeRoot, type Shows } from './placing.ts';
import type { EventState, PointTrend, SiteTrend } from './state.ts';
import { DAY_MS, HOUR_MS, type Observation, type SitePoint } from './types.ts';

/** Sweeps that must agree, at one point or at several. */
const SWEEPS_TO_CONFIRM = 2;

/**
 * Channels and whole feeds that are gone: confirmed by two sweeps, at one point or at two; one event for what is lost together, placed
 * at the point nearest the handoff that misses it; ended by two sweeps that find it again; the same event when it is lost anew
 * within a day.
 */
export function watchLosses(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  observation: Observation,
): void {
  const point = trend.points[pointId]!;
  watchOutage(trend, site, pointId, point, observation);
  if (observation.feedLost) return;
  endOutages(trend, pointId, observation.atMs);
  noteLost(trend, pointId, point, observation);
  confirmChannels(trend, site, pointId, point, observation.atMs);
  endChannels(trend, pointId, observation);
}

function watchOutage(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  point: PointTrend,
  { feedLost, atMs }: Observation,
): void {
  const { loss } = point;
  if (!feedLost) {
    loss.outage = null;
    return;
  }
  loss.outage ??= { sinceMs: atMs, priorMs: point.lastMs ?? atMs, sweeps: 0 };
  loss.outage.sweeps++;
  const open = openEvents(trend, 'outage').find((event) => areRelated(site, event.root, pointId));
  if (open) {
    join(trend, site, open, pointId, atMs);
    return;
  }
  const since = loss.outage.sinceMs;
  const others = partners(trend, site, pointId, (other) => {
    const { outage } = other.loss;
    return outage !== null && Math.abs(outage.sinceMs - since) <= reachMs(point, other);
  });
  if (loss.outage.sweeps < SWEEPS_TO_CONFIRM && others.length === 0) return;
  const points = [pointId, ...others];
  const outages = points.map((id) => trend.points[id]!.loss.outage!);
  const event =
    reopened(trend, site, 'outage', pointId, since, null) ??
    beginLoss(trend, 'outage', pointId, atMs, outages, {});
  for (const id of points) if (!atPoint(event, id)) event.at.push(startAt(id));
  join(trend, site, event, pointId, atMs);
}

function endOutages(trend: SiteTrend, pointId: number, atMs: number): void {
  for (const event of openEvents(trend, 'outage')) endAt(event, pointId, true, atMs);
}

function noteLost(trend: SiteTrend, pointId: number, point: PointTrend, observation: Observation): void {
  const { loss } = point;
  if (observation.lostChannels.length === 0 && loss.pending.length === 0) return;
  loss.pending = loss.pending.filter(({ channel }) => !observation.seenChannels.includes(channel));
  const told = new Set(
    openEvents(trend, 'channel-lost').flatMap((event) =>
      atPoint(event, pointId)?.closedMs === null ? channelsOf(event) : [],
    ),
  );
  for (const channel of observation.lostChannels) {
    if (told.has(channel)) continue;
    const known = loss.pending.find((entry) => entry.channel === channel);
    if (known) known.sweeps++;
    else
      loss.pending.push({
        channel,
        sinceMs: observation.atMs,
        priorMs: point.lastMs ?? observation.atMs,
        sweeps: 1,
      });
  }
}

function confirmChannels(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  point: PointTrend,
  atMs: number,
): void {
  const misses = (channel: string, sinceMs: number) =>
    partners(trend, site, pointId, (other) =>
      other.loss.pending.some(
        (entry) => entry.channel === channel && Math.abs(entry.sinceMs - sinceMs) <= reachMs(point, other),
      ),
    );
  const young = (channel: string, sinceMs: number) =>
    openEvents(trend, 'channel-lost').find(
      (event) =>
        channelsOf(event).includes(channel) &&
        Math.abs(event.onsetMs - sinceMs) <= Math.max(HOUR_MS, 2 * point.gapMs) &&
        areRelated(site, event.root, pointId),
    );
  const confirmed = point.loss.pending.filter(
    ({ channel, sinceMs, sweeps }) =>
      sweeps >= SWEEPS_TO_CONFIRM ||
      misses(channel, sinceMs).length > 0 ||
      young(channel, sinceMs) !== undefined,
  );
  if (confirmed.length === 0) return;
  const sinceMs = Math.min(...confirmed.map((entry) => entry.sinceMs));
  const channels = confirmed.map(({ channel }) => channel);
  const others = partners(trend, site, pointId, (other) =>
    other.loss.pending.some(({ channel }) => channels.includes(channel)),
  );
  const event =
    confirmed.map(({ channel }) => young(channel, sinceMs)).find((found) => found !== undefined) ??
    nearLoss(trend, site, pointId, sinceMs, point) ??
    reopened(trend, site, 'channel-lost', pointId, sinceMs, channels) ??
    beginLoss(trend, 'channel-lost', pointId, atMs, pendingAt(trend, [pointId, ...others], channels), {
      channels: [],
    });
  event.evidence['channels'] = [...new Set([...channelsOf(event), ...channels])].sort();
  for (const id of [pointId, ...others]) {
    if (!atPoint(event, id)) event.at.push(startAt(id));
    const own = trend.points[id]!.loss;
    own.pending = own.pending.filter(({ channel }) => !channels.includes(channel));
  }
  join(trend, site, event, pointId, atMs);
}

/** More channels lost at the same place and moment belong to the same event. */
function nearLoss(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  sinceMs: number,
  point: PointTrend,
): EventState | undefined {
  return openEvents(trend, 'channel-lost').find(
    (event) =>
      Math.abs(event.onsetMs - sinceMs) <= Math.max(HOUR_MS, 2 * point.gapMs) &&
      areRelated(site, event.root, pointId),
  );
}

function endChannels(trend: SiteTrend, pointId: number, { seenChannels, atMs }: Observation): void {
  for (const event of openEvents(trend, 'channel-lost')) {
    const at = atPoint(event, pointId);
    if (at === undefined || at.closedMs !== null) continue;
    endAt(
      event,
      pointId,
      channelsOf(event).every((channel) => seenChannels.includes(channel)),
      atMs,
    );
  }
}

/** Two sweeps in a row that show nothing of it end it at a point; at the root, as a whole. */
function endAt(event: EventState, pointId: number, isBack: boolean, atMs: number): void {
  const at = atPoint(event, pointId);
  if (at === undefined || at.closedMs !== null) return;
  if (!isBack) {
    at.back = null;
    return;
  }
  at.back ??= { sinceMs: atMs, sweeps: 0 };
  if (++at.back.sweeps < SWEEPS_TO_CONFIRM) return;
  at.closedMs = at.back.sinceMs;
  if (event.root === pointId || event.at.every(({ closedMs }) => closedMs !== null))
    closeEvent(event, at.back.sinceMs);
}

function reopened(
  trend: SiteTrend,
  site: readonly SitePoint[],
  kind: EventState['kind'],
  pointId: number,
  sinceMs: number,
  channels: readonly string[] | null,
): EventState | null {
  const same = trend.shared.events.find(
    (event) =>
      event.kind === kind &&
      event.closedMs !== null &&
      sinceMs - event.closedMs <= DAY_MS &&
      areRelated(site, event.root, pointId) &&
      (channels === null || channels.some((channel) => channelsOf(event).includes(channel))),
  );
  if (!same) return null;
  same.closedMs = null;
  same.at = [];
  same.evidence['times'] = ((same.evidence['times'] as number | undefined) ?? 1) + 1;
  return same;
}

function pendingAt(trend: SiteTrend, pointIds: readonly number[], channels: readonly string[]) {
  return pointIds
    .flatMap((id) => trend.points[id]!.loss.pending)
    .filter(({ channel }) => channels.includes(channel));
}

function beginLoss(
  trend: SiteTrend,
  kind: 'outage' | 'channel-lost',
  root: number,
  atMs: number,
  entries: readonly { sinceMs: number; priorMs: number }[],
  evidence: Record<string, unknown>,
): EventState {
  const onsetMs = Math.min(...entries.map(({ sinceMs }) => sinceMs));
  return beginEvent(trend, {
    kind,
    metric: 'channels',
    detectedMs: atMs,
    onsetMs,
    onsetLowMs: Math.max(...entries.map(({ priorMs }) => Math.min(priorMs, onsetMs))),
    onsetHighMs: onsetMs,
    root,
    evidence,
    waitingUntilMs: heardByMs(trend, atMs),
  });
}

function join(
  trend: SiteTrend,
  site: readonly SitePoint[],
  event: EventState,
  pointId: number,
  atMs: number,
): void {
  const at = atPoint(event, pointId);
  if (at === undefined) event.at.push(startAt(pointId));
  else {
    at.closedMs = null;
    at.back = null;
  }
  placeLoss(trend, site, event, atMs);
}

/** Places a loss at the point nearest the handoff that misses what is lost, as far as points have been heard since. */
export function placeLoss(
  trend: SiteTrend,
  site: readonly SitePoint[],
  event: EventState,
  atMs: number,
): void {
  const shows = (id: number): Shows => {
    if (misses(trend, event, id)) return 'yes';
    return isHeard(event, trend.points[id]?.lastMs ?? null) ? 'no' : 'unknown';
  };
  const placed = placeRoot(trend, site, event.root, atMs, shows);
  event.root = placed.root;
  event.sure = placed.sure;
  if (!atPoint(event, placed.root)) event.at.push(startAt(placed.root));
  if (!placed.waiting) event.waitingUntilMs = Math.min(event.waitingUntilMs, atMs);
}

function misses(trend: SiteTrend, event: EventState, pointId: number): boolean {
  const loss = trend.points[pointId]?.loss;
  if (event.kind === 'outage') return loss?.outage != null;
  const isPending = loss?.pending.some(({ channel }) => channelsOf(event).includes(channel)) ?? false;
  return isPending || atPoint(event, pointId) !== undefined;
}

function partners(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  isOne: (point: PointTrend) => boolean,
): number[] {
  return site
    .map((candidate) => candidate.pointId)
    .filter((id) => id !== pointId && trend.points[id] !== undefined && isOne(trend.points[id]));
}

function reachMs(a: PointTrend, b: PointTrend): number {
  return 1.5 * Math.max(a.gapMs, b.gapMs);
}

function openEvents(trend: SiteTrend, kind: EventState['kind']): EventState[] {
  return trend.shared.events.filter((event) => event.kind === kind && event.closedMs === null);
}

/** RF channels that an event of lost channels names. */
function channelsOf(event: EventState): string[] {
  return event.evidence['channels'] as string[];
}
