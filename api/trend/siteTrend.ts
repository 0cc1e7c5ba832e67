import { addToBlock, blockOf, breakHistory, forgetHistory } from './blocks.ts';
import { watchChannelEvents } from './channelEvents.ts';
import { emptyChannels, resetChannels } from './channels/emptyChannels.ts';
import { clearedDb, clearOfChannels } from './clearOfChannels.ts';
import { endDips, rememberDip, watchDips } from './dips.ts';
import { atPoint, beginEvent, closeEvent, startAt } from './eventState.ts';
import type { Frame } from './frame.ts';
import { addToHour, hourOf, hourRow } from './hours.ts';
import { type InstrumentChange, instrumentOf, learnOffset, withoutOffset } from './instruments.ts';
import { placeLoss, watchLosses } from './losses.ts';
import { firstOfTwo, isRough, judgeOdd, learnScatter } from './oddSweeps.ts';
import { placeChannelEvent } from './placeChannelEvent.ts';
import { placeSettledSteps } from './placeSettledSteps.ts';
import { publish } from './publish.ts';
import { anchorAt, changeFrom, emptyQuick, isStillOff, learnSweep, levelsOf, standingOut } from './quick.ts';
import { thousandths } from './rounding.ts';
import { watchSlow } from './slow/watchSlow.ts';
import { emptySiteTrend, type PointTrend, type SiteTrend } from './state.ts';
import { confirmStep, moveRoot } from './stepEvents.ts';
import { refineSteps } from './stepSizes.ts';
import { upstreamOf } from './tree.ts';
import { isTypedBeside } from './typedBeside.ts';
import {
  BLOCK_MS,
  BLOCKS_A_DAY,
  byFeature,
  DAY_MS,
  type Features,
  type Finding,
  HOUR_MS,
  type HourRow,
  type Observation,
  type Reference,
  type SitePoint,
} from './types.ts';

export { emptySiteTrend, type PointTrend, type SiteTrend };

/** What one sweep changed. */
export interface SiteAdvance {
  /** Findings that are new or differ from what was told before; `(event, pointId)` is their identity. */
  readonly changed: readonly Finding[];
  /** Findings that stand at that point no more. */
  readonly gone: readonly { readonly event: number; readonly pointId: number }[];
  /** The point's hour before this sweep's, when this sweep ended it. */
  readonly endedHour: HourRow | null;
}

const NOTHING_NEW: SiteAdvance = { changed: [], gone: [], endedHour: null };

const FIRST_GAP_MS = HOUR_MS / 4;
const GAP_SHARE = 0.1;
/** With fewer sweeps since, a scan would see what it saw before. */
const SWEEPS_A_SCAN = 4;
/** A suspicion that no second sweep confirms in so many isn't one: the point has become noisier. */
const LONGEST_SUSPICION = 8;
const CLOSED_KEPT_MS = 3 * DAY_MS;

/**
 * Takes one sweep's observation into the state of its site, which is changed. Sweeps of all points come merged in order of time. O(1)
 * on average, and the state stays bounded. `reference` is what the observation was made against; null before the first baseline, when
 * only the hours are kept.
 * @throws RangeError when the observation is older than the state
 */
export function takeSweep(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  frame: Frame,
  observation: Observation,
  reference: Reference | null,
): SiteAdvance {
  const { shared } = trend;
  const { atMs } = observation;
  if (shared.lastMs !== null && atMs < shared.lastMs)
    throw new RangeError('sweeps must come in order of time');
  if (isTypedBeside(trend.points[pointId], observation)) return NOTHING_NEW;
  const point = pointOf(trend, pointId);
  const endedHour = endHour(point, atMs);
  if (shared.lastMs !== null && isScanDue(trend, atMs)) {
    watchSlow(trend, site, atMs);
    placeSettledSteps(trend, site, atMs);
    tidy(trend, atMs);
  }
  shared.block = blockOf(atMs);
  if (reference && reference.baselineVersion !== point.reference?.baselineVersion)
    startBaseline(trend, pointId, atMs, reference);
  if (reference) {
    point.reference = reference;
    point.shapes = frame.basis.shapes;
  }

  judge(trend, site, pointId, frame, observation, reference);
  addToHour(point, observation, reference);
  point.lastMs = atMs;
  shared.lastMs = atMs;
  placeUnsure(trend, site, pointId, atMs);
  return { ...publish(trend, site, atMs), endedHour };
}

/** What is known of a point, begun when nothing is. */
export function pointOf(trend: SiteTrend, pointId: number): PointTrend {
  trend.points[pointId] ??= emptyPoint();
  return trend.points[pointId];
}

/** Ends the hour in progress at a point when `atMs` lies in another, and returns it. */
export function endHour(point: PointTrend, atMs: number): HourRow | null {
  if (point.hour === null || point.hour.hourMs === hourOf(atMs)) return null;
  const ended = hourRow(point);
  point.hour = null;
  return ended;
}

/** Slow change is looked for once a block, and once a day at least; less often than once a block where sweeps are rare. */
function isScanDue(trend: SiteTrend, atMs: number): boolean {
  if (blockOf(atMs) === trend.shared.block) return false;
  const gapMs = Math.min(...Object.values(trend.points).map((point) => point.gapMs || FIRST_GAP_MS));
  const every = Math.max(1, Math.min(BLOCKS_A_DAY, Math.ceil((SWEEPS_A_SCAN * gapMs) / BLOCK_MS)));
  return Math.floor(blockOf(atMs) / every) !== Math.floor(trend.shared.block / every);
}

/** An event that waits to hear of a point upstream is placed anew when that point is read. */
function placeUnsure(trend: SiteTrend, site: readonly SitePoint[], pointId: number, atMs: number): void {
  for (const event of trend.shared.events) {
    if (event.sure || event.closedMs !== null || event.slow !== null) continue;
    if (!upstreamOf(site, event.root).some((above) => above.pointId === pointId)) continue;
    if (event.kind === 'step') moveRoot(trend, site, event, event.root, atMs);
    else if (event.kind === 'channel-lost') placeLoss(trend, site, event, atMs);
    else placeChannelEvent(trend, site, event, atMs);
  }
}

/** Medians of the hour in progress at a point; null when it has no sweep. */
export function hourInProgress(trend: SiteTrend, pointId: number): HourRow | null {
  const point = trend.points[pointId];
  return point === undefined ? null : hourRow(point);
}

/** What the state knows: told again after a replay from a checkpoint. */
export function toldFindings(trend: SiteTrend): Finding[] {
  return trend.shared.events.flatMap(({ told }) => told);
}

function judge(
  trend: SiteTrend,
  site: readonly SitePoint[],
  pointId: number,
  frame: Frame,
  observation: Observation,
  reference: Reference | null,
): void {
  const point = trend.points[pointId]!;
  const { atMs } = observation;
  const gapMs = followGap(point, atMs);
  if (reference === null) return;
  watchLosses(trend, site, pointId, observation);
  if (observation.features === null) return;
  const odd = judgeOdd(point, observation);
  if (odd.isOdd) return;

  const instrument = instrumentOf(point, observation, reference);
  const before = clearOfChannels(observation, frame, point.channels)!;
  const change = learnOffset(point, instrument, before, atMs);
  if (change) tellInstrument(trend, pointId, change, atMs);
  if (instrument.learning !== null) return;
  // What stands at single channels is told first, so that it isn't taken for a change of the whole band.
  const isRoughSweep = odd.before !== null || isRough(point, observation);
  if (odd.before?.restDb.length === observation.levelRestDb.length)
    watchChannelEvents(trend, site, pointId, frame, firstOfTwo(odd.before, observation));
  if (isRoughSweep) watchChannelEvents(trend, site, pointId, frame, observation);
  const seen = isRoughSweep ? clearOfChannels(observation, frame, point.channels)! : before;
  point.cleared = clearedDb(observation.features, seen);
  const features = withoutOffset(seen, instrument);

  if (isSuspect(point, features, atMs)) {
    confirmStep(trend, site, pointId, atMs);
    watchDips(trend, site, pointId, atMs);
    return;
  }
  watchDips(trend, site, pointId, atMs);
  refineSteps(trend, pointId, features, atMs);
  learnSweep(point, features, gapMs);
  learnScatter(point, observation);
  addToBlock(point, atMs, features, observation.ambientC);
  if (!isRoughSweep) watchChannelEvents(trend, site, pointId, frame, observation);
}

/** Whether a sweep lies off where its point lay; ends a suspicion when it doesn't. Changes `point`. */
function isSuspect(point: PointTrend, features: Features<number | null>, atMs: number): boolean {
  const { suspicion } = point;
  if (suspicion === null) {
    const before = levelsOf(point);
    const change = changeFrom(before, features);
    if (standingOut(point, change) === null) return false;
    point.suspicion = { sinceMs: atMs, priorMs: point.lastMs ?? atMs, before, sweeps: [{ atMs, change }] };
    return true;
  }
  const change = changeFrom(suspicion.before, features);
  const first = suspicion.sweeps[0]!;
  if (isStillOff(point, first.change, change)) {
    suspicion.sweeps.push({ atMs, change });
    if (suspicion.sweeps.length < LONGEST_SUSPICION) return true;
    anchorAt(point, features);
    point.suspicion = null;
    return false;
  }
  point.suspicion = null;
  if (standingOut(point, first.change) === 'level')
    rememberDip(point, first.atMs, thousandths(first.change.level));
  return isSuspect(point, features, atMs);
}

function tellInstrument(trend: SiteTrend, pointId: number, change: InstrumentChange, atMs: number): void {
  breakHistory(trend.points[pointId]!, change.firstMs);
  resetChannels(trend.points[pointId]!.channels);
  const event = beginEvent(trend, {
    kind: 'instrument-change',
    metric: 'level',
    detectedMs: atMs,
    onsetMs: change.firstMs,
    onsetLowMs: change.firstMs,
    onsetHighMs: change.firstMs,
    root: pointId,
    evidence: {
      instrument: change.id,
      ...(change.calibratedMs === null ? {} : { calibratedMs: change.calibratedMs }),
      offsetDb: change.offset,
      takenOutDb: change.takenOut,
    },
  });
  const at = startAt(pointId);
  at.sizeDb = change.offset.level;
  at.sizeLowDb = change.lowDb;
  at.sizeHighDb = change.highDb;
  event.at.push(at);
  closeEvent(event, atMs);
}

/** A point's usual gap: a longer one moves it up by a tenth, a shorter one down. Returns the gap before this sweep, ms. */
function followGap(point: PointTrend, atMs: number): number {
  if (point.lastMs === null || point.lastMs === atMs) {
    if (point.gapMs === 0) point.gapMs = FIRST_GAP_MS;
    return point.gapMs;
  }
  const gapMs = atMs - point.lastMs;
  if (point.gapMs === 0) point.gapMs = gapMs;
  const share = Math.min(GAP_SHARE, Math.abs(Math.log(gapMs / point.gapMs)));
  point.gapMs *= Math.exp(share * Math.sign(gapMs - point.gapMs));
  return gapMs;
}

/** A new baseline starts the changes at a point afresh; what is known of its noise stays. */
function startBaseline(trend: SiteTrend, pointId: number, atMs: number, reference: Reference): void {
  const point = trend.points[pointId]!;
  for (const event of trend.shared.events) {
    const at = atPoint(event, pointId);
    if (event.closedMs !== null || at === undefined) continue;
    at.closedMs ??= atMs;
    if (event.root !== pointId) continue;
    closeEvent(event, atMs);
    event.evidence = { ...event.evidence, closedBy: `baseline ${reference.baselineVersion}` };
  }
  anchorAt(
    point,
    byFeature(() => 0),
  );
  point.instruments = [];
  point.suspicion = null;
  point.odd = null;
  point.dips = [];
  point.loss.pending = [];
  point.channels = emptyChannels();
  forgetHistory(point);
}

/** Forgets what closed days ago. */
function tidy(trend: SiteTrend, atMs: number): void {
  endDips(trend, atMs);
  trend.shared.events = trend.shared.events.filter(
    ({ closedMs }) => closedMs === null || atMs - closedMs <= CLOSED_KEPT_MS,
  );
}

function emptyPoint(): PointTrend {
  return {
    lastMs: null,
    gapMs: 0,
    reference: null,
    shapes: null,
    instruments: [],
    quick: byFeature(emptyQuick),
    scatterDb: null,
    odd: null,
    suspicion: null,
    cleared: null,
    dips: [],
    loss: { pending: [], outage: null },
    hour: null,
    block: null,
    history: { first: 0, meanCdb: byFeature(() => []), ambient: [], breaks: [] },
    channels: emptyChannels(),
  };
}
