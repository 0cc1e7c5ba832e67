import { echoDistanceM } from '../../ingest/signal/echoDistanceM.ts';
import type { ChannelConclusion, ChannelShape } from './channels/channelTrend.ts';
import { effectAt } from './channels/effectAt.ts';
import { watchChannels } from './channels/watchChannels.ts';
import { areRelated, atPoint, beginEvent, closeEvent, startAt } from './eventState.ts';
import type { Frame } from './frame.ts';
import type { EventAt, EventState, SiteTrend } from './state.ts';
import { subtree, upstreamOf } from './tree.ts';
import { DAY_MS, type Observation, type SitePoint } from './types.ts';

/** A point shows another's conclusion when it has so much of its size. */
const SHARED = 0.5;
/** Echo delays that differ by less are one echo, ns. */
const SAME_DELAY_NS = 3;
/** Onsets further apart than this beyond their intervals are two events. */
const ONSET_SLACK_MS = 2 * DAY_MS;
/** Of series 6 and series 11 cable with foamed dielectric: common practice, no source. */
const VELOCITY_FACTOR = 0.85;

/** Takes a sweep into the per-channel watch of its point, and makes events of what it concludes. */
export function watchChannelEvents(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  frame: Frame,
  observation: Observation,
): void {
  const point = trend.points[pointId]!;
  const { changed } = watchChannels(point.channels, {
    atMs: observation.atMs,
    freqMhz: frame.freqMhz,
    channel: frame.channelNames,
    levelRestDb: observation.levelRestDb,
    merRestDb: observation.merRestDb,
    usualGapMs: point.gapMs,
  });
  for (const conclusion of changed) takeConclusion(trend, site, pointId, conclusion, observation.atMs);
}

function takeConclusion(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  conclusion: ChannelConclusion,
  atMs: number,
): void {
  const events = trend.shared.events;
  const known = events.find((event) => atPoint(event, pointId)?.conclusion === conclusion.number);
  if (conclusion.closedMs !== null) {
    if (known) endAt(known, pointId, conclusion.closedMs);
    return;
  }
  const event =
    known ??
    events.find(
      (open) => open.closedMs === null && isSame(open, conclusion) && areInOneTree(site, open.root, pointId),
    ) ??
    begin(trend, site, pointId, conclusion, atMs);
  measure(event, pointId, conclusion);
  if (event.root === pointId) tellPlaceInBand(event, conclusion);
}

function begin(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  conclusion: ChannelConclusion,
  atMs: number,
): EventState {
  const { shape, onsetMs, metric } = conclusion;
  const root = rootOf(trend, site, pointId, conclusion);
  const event = beginEvent(trend, {
    kind: shape.kind,
    metric: shape.kind === 'channel-shift' ? metric : 'flatness',
    detectedMs: atMs,
    onsetMs: onsetMs.value,
    onsetLowMs: onsetMs.low,
    onsetHighMs: onsetMs.high,
    root,
  });
  for (const id of subtree(site, root)) {
    const effect =
      id === pointId || !trend.points[id] ? null : effectAt(trend.points[id].channels, conclusion);
    if (effect === null || !isShared(effect.sizeDb, conclusion.sizeDb.value)) continue;
    const at = startAt(id);
    setSize(
      at,
      effect.sizeDb,
      effect.sizeDb - 1.2816 * effect.errorDb,
      effect.sizeDb + 1.2816 * effect.errorDb,
    );
    event.at.push(at);
  }
  tellPlaceInBand(event, conclusion);
  return event;
}

/** The point nearest the handoff that shows as much of it. */
function rootOf(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  conclusion: ChannelConclusion,
): number {
  let root = pointId;
  for (const above of upstreamOf(site, pointId)) {
    const point = trend.points[above.pointId];
    const effect = point ? effectAt(point.channels, conclusion) : null;
    if (effect === null) continue;
    if (!isShared(effect.sizeDb, conclusion.sizeDb.value)) break;
    root = above.pointId;
  }
  return root;
}

function isShared(sizeDb: number, of: number): boolean {
  return sizeDb / of >= SHARED;
}

function areInOneTree(site: readonly SitePoint[], a: number, b: number): boolean {
  const top = (id: number) => upstreamOf(site, id).at(-1)?.pointId ?? id;
  return areRelated(site, a, b) || top(a) === top(b);
}

function measure(event: EventState, pointId: number, conclusion: ChannelConclusion): void {
  let at = atPoint(event, pointId);
  if (at === undefined) {
    at = startAt(pointId);
    event.at.push(at);
  }
  at.conclusion = conclusion.number;
  at.closedMs = null;
  const { value, low, high } = conclusion.sizeDb;
  setSize(at, value, low, high);
  if (pointId !== event.root) return;
  event.onsetMs = conclusion.onsetMs.value;
  event.onsetLowMs = conclusion.onsetMs.low;
  event.onsetHighMs = conclusion.onsetMs.high;
}

function setSize(at: EventAt, value: number, low: number, high: number): void {
  at.sizeDb = hundredths(value);
  at.sizeLowDb = hundredths(Math.min(low, high));
  at.sizeHighDb = hundredths(Math.max(low, high));
}

function endAt(event: EventState, pointId: number, closedMs: number): void {
  const at = atPoint(event, pointId)!;
  at.closedMs = closedMs;
  const watched = event.at.filter(({ conclusion }) => conclusion !== null);
  if (event.root === pointId || watched.every((each) => each.closedMs !== null)) closeEvent(event, closedMs);
}

function isSame(event: EventState, { shape, onsetMs }: ChannelConclusion): boolean {
  if (event.kind !== shape.kind) return false;
  if (onsetMs.low > event.onsetHighMs + ONSET_SLACK_MS || onsetMs.high < event.onsetLowMs - ONSET_SLACK_MS)
    return false;
  const { evidence } = event;
  switch (shape.kind) {
    case 'notch':
      return Math.abs((evidence['freqMhz'] as number) - shape.centreMhz) <= Math.max(shape.widthMhz, 12);
    case 'ripple':
      return Math.abs((evidence['delayNs'] as number) - shape.delayNs) <= SAME_DELAY_NS;
    case 'channel-shift':
      return shape.channels.some((channel) => (evidence['channels'] as string[]).includes(channel));
  }
}

/** Where in the band it lies, for people and for finding its like at other points. */
function tellPlaceInBand(
  event: EventState,
  { shape, slopeDbPerDay, otherDelaysNs }: ChannelConclusion,
): void {
  event.evidence = {
    ...placeOf(shape, otherDelaysNs),
    ...(slopeDbPerDay && { dbPerDay: hundredths(slopeDbPerDay.value) }),
  };
}

function placeOf(shape: ChannelShape, otherDelaysNs: readonly number[]): Record<string, unknown> {
  switch (shape.kind) {
    case 'notch':
      return { freqMhz: Math.round(shape.centreMhz), widthMhz: Math.round(shape.widthMhz) };
    case 'ripple':
      return {
        delayNs: Math.round(10 * shape.delayNs) / 10,
        distanceM: Math.round(10 * echoDistanceM(1000 / shape.delayNs, VELOCITY_FACTOR)) / 10,
        velocityFactor: VELOCITY_FACTOR,
        ambiguousDelay: otherDelaysNs.length > 0,
      };
    case 'channel-shift':
      return { channels: [...shape.channels] };
  }
}

function hundredths(value: number): number {
  return Math.round(value * 100) / 100 + 0;
}
