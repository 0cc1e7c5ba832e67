import { echoDistanceM } from '../../ingest/signal/echoDistanceM.ts';
import type { ChannelConclusion, ChannelShape, Interval } from './channels/channelTrend.ts';
import { watchChannels } from './channels/watchChannels.ts';
import { areRelated, atPoint, beginEvent, closeEvent, startAt } from './eventState.ts';
import type { Frame } from './frame.ts';
import { ownConclusions, placeChannelEvent, setSize } from './placeChannelEvent.ts';
import { heardByMs } from './placing.ts';
import { hundredths } from './rounding.ts';
import type { EventState, SiteTrend } from './state.ts';
import { upstreamOf } from './tree.ts';
import { DAY_MS, type Observation, type SitePoint } from './types.ts';

/** Delays that are known to the letter still differ by so much from point to point, ns. */
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
      (open) =>
        open.closedMs === null && isSame(trend, open, conclusion) && areInOneTree(site, open.root, pointId),
    ) ??
    begin(trend, pointId, conclusion, atMs);
  measure(event, pointId, conclusion);
  placeChannelEvent(trend, site, event, atMs);
  if (leaderOf(event) === pointId) tellOf(event, conclusion);
}

function begin(trend: SiteTrend, pointId: number, conclusion: ChannelConclusion, atMs: number): EventState {
  const { shape, onsetMs, metric } = conclusion;
  return beginEvent(trend, {
    kind: shape.kind,
    metric: shape.kind === 'channel-shift' ? metric : 'flatness',
    detectedMs: atMs,
    onsetMs: onsetMs.value,
    onsetLowMs: onsetMs.low,
    onsetHighMs: onsetMs.high,
    root: pointId,
    evidence: placeOf(conclusion.shape, conclusion.otherDelaysNs),
    waitingUntilMs: heardByMs(trend, atMs),
  });
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
}

/** The point whose conclusion speaks for the event: the one where it begins, otherwise the first that came to one. */
function leaderOf({ at, root }: EventState): number | null {
  const own = at.filter(({ conclusion, closedMs }) => conclusion !== null && closedMs === null);
  return (own.find(({ pointId }) => pointId === root) ?? own[0])?.pointId ?? null;
}

function tellOf(event: EventState, conclusion: ChannelConclusion): void {
  event.onsetMs = conclusion.onsetMs.value;
  event.onsetLowMs = conclusion.onsetMs.low;
  event.onsetHighMs = conclusion.onsetMs.high;
  event.evidence = {
    ...placeOf(conclusion.shape, conclusion.otherDelaysNs),
    ...(conclusion.slopeDbPerDay && { dbPerDay: hundredths(conclusion.slopeDbPerDay.value) }),
  };
}

function endAt(event: EventState, pointId: number, closedMs: number): void {
  const at = atPoint(event, pointId)!;
  at.closedMs = closedMs;
  const watched = event.at.filter(({ conclusion }) => conclusion !== null);
  if (event.root === pointId || watched.every((each) => each.closedMs !== null)) closeEvent(event, closedMs);
}

function isSame(trend: SiteTrend, event: EventState, conclusion: ChannelConclusion): boolean {
  const { shape, onsetMs } = conclusion;
  if (event.kind !== shape.kind) return false;
  if (onsetMs.low > event.onsetHighMs + ONSET_SLACK_MS || onsetMs.high < event.onsetLowMs - ONSET_SLACK_MS)
    return false;
  const { evidence } = event;
  switch (shape.kind) {
    case 'notch':
      return Math.abs((evidence['freqMhz'] as number) - shape.centreMhz) <= Math.max(shape.widthMhz, 12);
    case 'ripple':
      return ownConclusions(trend, event).some((own) => isSameDelay(own.conclusion, conclusion));
    case 'channel-shift':
      return shape.channels.some((channel) => (evidence['channels'] as string[]).includes(channel));
  }
}

/** Two echoes may be one when their delays, or any that their channels can't tell from them, differ by no more than both are in doubt. */
function isSameDelay(a: ChannelConclusion, b: ChannelConclusion): boolean {
  const doubtNs = SAME_DELAY_NS + halfWidth(a.delayNs!) + halfWidth(b.delayNs!);
  return delaysOf(a).some((one) => delaysOf(b).some((other) => Math.abs(one - other) <= doubtNs));
}

function delaysOf({ delayNs, otherDelaysNs }: ChannelConclusion): number[] {
  return [delayNs!.value, ...otherDelaysNs];
}

function halfWidth({ low, high }: Interval): number {
  return (high - low) / 2;
}

/** Where in the band it lies, for people and for finding its like at other points. */
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
