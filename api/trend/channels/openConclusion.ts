import { DAY_MS } from '../types.ts';
import type { Band } from './band.ts';
import type {
  ChannelConclusion,
  ChannelShape,
  ChannelTrend,
  OpenConclusion,
  Recent,
  TracePoint,
} from './channelTrend.ts';
import { blockDeviation, explainedDb, recentDeviation } from './deviations.ts';
import { fitShape } from './fitShape.ts';
import { fitTrace } from './fitTrace.ts';
import { meanShare } from './growth.ts';
import type { Placed } from './placed.ts';
import { placeShape } from './placeShape.ts';
import { recentVariance, toWhole } from './recent.ts';
import { isSamePlace, overlaps } from './samePlace.ts';
import { amplitudeOfSize, shapeValues, sizeOfAmplitude } from './shapeValues.ts';
import { newestFirst, type Window, weighBlocks } from './slowScan.ts';
import { takeOut } from './smoothBasis.ts';
import { levelBank, notchBank, scanBank } from './templateBank.ts';
import { isWorthTelling, offsetErrorDb, renewTrace, restated, sized, traceOf } from './trace.ts';
import { CONCLUSIONS_MOST, SCAN_EVERY_MS } from './tuning.ts';

/** A change has returned when so little of it is left. */
const RETURNED_SHARE = 0.3;
/** How well the newest amplitude must be known for that, as a share of the size. */
const RETURNED_ERROR = 0.15;
/** A group may turn out to be a notch, or the other way round, when that explains so much χ² more. */
const OTHER_KIND_CHI_SQUARE = 12;
/** Odds of e³ for a suck-out before anything is known. Common practice, no source. */
const NOTCH_PRIOR_CHI_SQUARE = 6;
/** A conclusion placed within this share of its age is placed as well as can be. */
const YOUNG_SHARE = 0.25;

/**
 * Opens a conclusion about level for what stands out in a window, and adds it to the trend. Null when there
 * is nothing new: it is too small, or a change of one that is open.
 * @param latest amplitude in the newest sweep, where a step was seen there
 */
export function openLevel(
  trend: ChannelTrend,
  band: Band,
  shape: ChannelShape,
  window: Window,
  nowMs: number,
  gapMs: number,
  latest: ((shape: ChannelShape) => TracePoint) | null,
): OpenConclusion | null {
  const sibling = trend.conclusions.find((open) => isSamePlace(band, open, shape));
  if (sibling !== undefined) {
    return latest === null
      ? replace(trend, sibling, { ...sibling, placedMs: 0 })
      : followRecent(trend, band, sibling, nowMs);
  }
  if (placeYoung(trend, band, nowMs, gapMs)) return null;
  const place = placeFirst(band, shape, window);
  const trace = traceOf(trend, band, place.shape, trend.conclusions, newestFirst(trend));
  if (latest !== null) trace.push(latest(place.shape));
  if (trace.length === 0) return null;
  const fit = fitTrace(trace, gapMs, offsetErrorDb(trend, band, place.shape));
  const size = sized(place.shape.kind, fit, place);
  if (!isWorthTelling(place.shape, 'level', size.sizeDb.value)) return null;
  if (trend.conclusions.length >= CONCLUSIONS_MOST) return null;

  trend.counted++;
  const conclusion: OpenConclusion = {
    number: trend.counted,
    metric: 'level',
    detectedMs: nowMs,
    closedMs: null,
    ...placeOf(place),
    ...size,
    trace,
    sizedMs: nowMs,
    placedMs: nowMs,
    toldDb: size.sizeDb.value,
    toldOnsetMs: size.onsetMs.value,
    toldMs: nowMs,
  };
  trend.conclusions.push(conclusion);
  if (latest !== null) moveRecent(trend.level, band, conclusion);
  return conclusion;
}

/**
 * Places young conclusions again before anything is found beside them: what a rough first place leaves is no change of its own. False
 * when all are placed as well as can be.
 */
function placeYoung(trend: ChannelTrend, band: Band, nowMs: number, gapMs: number): boolean {
  let isPlaced = false;
  for (const open of trend.conclusions) {
    if (open.metric !== 'level') continue;
    const wait = Math.min(DAY_MS, YOUNG_SHARE * (nowMs - open.detectedMs));
    if (nowMs - open.placedMs <= Math.max(wait, 0)) continue;
    replace(trend, open, updateLevel(trend, band, { ...open, placedMs: 0 }, nowMs, gapMs));
    isPlaced = true;
  }
  return isPlaced;
}

/**
 * The likeliest place of what a scan found. A suck-out is commoner than a group of channels that moved alike, so it is preferred while it
 * explains nearly as much.
 */
function placeFirst(band: Band, shape: ChannelShape, { values, variance }: Window): Placed {
  const place = placeShape(band, shape, values, variance);
  if (shape.kind !== 'channel-shift' || shape.channels.length < 2) return place;
  const notch = scanBank(notchBank(band), values);
  if (notch === null || !overlaps(band, notch.shape, shape)) return place;
  const notchPlace = placeShape(band, notch.shape, values, variance);
  return notchPlace.explained > place.explained - NOTCH_PRIOR_CHI_SQUARE * variance ? notchPlace : place;
}

/** Takes the recent mean at once where a step has taken the readings, so that what is left of it is not found again. */
function moveRecent(recent: Recent, band: Band, conclusion: OpenConclusion): void {
  const template = shapeValues(band, conclusion.shape);
  const shown = fitShape(band, template, recentDeviation(recent, null)).amplitude;
  const missing = 100 * (amplitudeOfSize(conclusion) - shown);
  for (let k = 0; k < template.length; k++) {
    recent.meanCdb[k] = toWhole(recent.meanCdb[k]! + missing * template[k]!);
  }
}

/** Works an open conclusion out again with what has been read since; closes it when it has returned. */
export function updateLevel(
  trend: ChannelTrend,
  band: Band,
  conclusion: OpenConclusion,
  nowMs: number,
  gapMs: number,
): OpenConclusion {
  const others = trend.conclusions.filter((other) => other.number !== conclusion.number);
  const place = isDue(conclusion.placedMs, conclusion, nowMs)
    ? placeAgain(trend, band, conclusion, others)
    : null;
  const shape = place?.shape ?? conclusion.shape;
  const newest = newestFirst(trend).filter((block) => block.halfDays === 1);
  const before =
    place === null ? conclusion.trace : restated(band, conclusion.trace, conclusion.shape, shape);
  const trace = renewTrace(before, traceOf(trend, band, shape, others, newest));
  const placed = place === null ? conclusion : { ...conclusion, ...placeOf(place), placedMs: nowMs };
  if (hasReturned(placed, trace)) return { ...placed, trace, closedMs: nowMs, sizedMs: nowMs };

  const kept = place ?? keptPlace(conclusion);
  const now = latestPoint(trend, band, shape, others, nowMs);
  const fit = fitTrace([...trace, now], gapMs, offsetErrorDb(trend, band, shape));
  return { ...placed, ...sized(shape.kind, fit, kept), trace, sizedMs: nowMs };
}

/** How large `shape` is in the mean of the latest sweeps, which says at once what a block that it began within says only later. */
function latestPoint(
  trend: ChannelTrend,
  band: Band,
  shape: ChannelShape,
  others: readonly OpenConclusion[],
  nowMs: number,
): TracePoint {
  const explained = explainedDb(band, others, 'level', nowMs, nowMs);
  const { amplitude, energy } = fitShape(
    band,
    shapeValues(band, shape),
    recentDeviation(trend.level, explained),
  );
  const errorDb = Math.sqrt(recentVariance(trend.level) / Math.max(1e-6, energy));
  return { fromMs: nowMs, toMs: nowMs, sweeps: 1, db: amplitude, errorDb };
}

/** Whether an open conclusion is to be told again: once a day, when it differs by more than its interval. */
export function isToBeTold(conclusion: OpenConclusion, nowMs: number): boolean {
  const { sizeDb, onsetMs, toldDb, toldOnsetMs, toldMs, closedMs } = conclusion;
  if (closedMs !== null || !isDue(toldMs, conclusion, nowMs)) return false;
  const isOther = toldDb < sizeDb.low || toldDb > sizeDb.high;
  return isOther || toldOnsetMs < onsetMs.low || toldOnsetMs > onsetMs.high;
}

/** Daily, and at each doubling of its age while it is young. */
function isDue(lastMs: number, { detectedMs }: OpenConclusion, nowMs: number): boolean {
  return nowMs - lastMs >= Math.min(DAY_MS, Math.max(SCAN_EVERY_MS, nowMs - detectedMs));
}

/** A conclusion without what only the state needs. */
export function toTell(open: OpenConclusion): ChannelConclusion {
  const {
    trace: _trace,
    sizedMs: _sized,
    placedMs: _placed,
    toldDb: _db,
    toldOnsetMs: _onset,
    toldMs: _toldMs,
    ...told
  } = open;
  return told;
}

function placeAgain(
  trend: ChannelTrend,
  band: Band,
  conclusion: OpenConclusion,
  others: readonly OpenConclusion[],
): Placed | null {
  const blocks = newestFirst(trend);
  const shares = blocks.map((block) => meanShare(conclusion, conclusion.sizedMs, block.fromMs, block.toMs));
  const deviations = blocks.map((block) => blockDeviation(trend, band, block, others));
  const window = weighBlocks(
    trend,
    deviations,
    blocks.map((block) => block.sweeps),
    shares,
  );
  if (window === null) return null;
  const { values, variance } = window;
  takeOut(band.basis, values);
  const place = placeShape(band, conclusion.shape, values, variance);
  if (conclusion.shape.kind === 'ripple') return place;

  const other = scanBank(levelBank(band), values);
  if (other === null || other.shape.kind === conclusion.shape.kind) return place;
  if (!overlaps(band, other.shape, conclusion.shape)) return place;
  const otherPlace = placeShape(band, other.shape, values, variance);
  return otherPlace.explained > place.explained + OTHER_KIND_CHI_SQUARE * variance ? otherPlace : place;
}

/**
 * Moves an open conclusion to where the latest sweeps show it, or closes it when it has returned; its size is worked out at the next
 * update.
 */
function followRecent(trend: ChannelTrend, band: Band, open: OpenConclusion, nowMs: number): null {
  const others = trend.conclusions.filter((other) => other !== open);
  const values = recentDeviation(trend.level, explainedDb(band, others, 'level', nowMs, nowMs));
  takeOut(band.basis, values);
  const { kind } = open.shape;
  const shown = sizeOfAmplitude(kind, fitShape(band, shapeValues(band, open.shape), values).amplitude);
  if (shown * Math.sign(open.toldDb) < RETURNED_SHARE * Math.abs(open.toldDb)) {
    return replace(trend, open, { ...open, closedMs: nowMs });
  }
  const place = placeShape(band, open.shape, values, recentVariance(trend.level));
  const value = Math.round(1e4 * sizeOfAmplitude(kind, place.amplitude.value)) / 1e4;
  return replace(trend, open, {
    ...open,
    ...placeOf(place),
    sizedMs: nowMs,
    sizeDb: { ...open.sizeDb, value },
  });
}

function replace(trend: ChannelTrend, open: OpenConclusion, by: OpenConclusion): null {
  trend.conclusions = trend.conclusions.map((other) => (other === open ? by : other));
  return null;
}

function hasReturned(conclusion: OpenConclusion, trace: readonly TracePoint[]): boolean {
  const size = Math.abs(conclusion.toldDb);
  let [weights, sum] = [0, 0];
  for (let i = trace.length - 1; i >= 0 && trace[i]!.fromMs > conclusion.onsetMs.value; i--) {
    const weight = 1 / trace[i]!.errorDb ** 2;
    weights += weight;
    sum += weight * trace[i]!.db;
    if (1 / Math.sqrt(weights) > RETURNED_ERROR * size) continue;
    return (Math.sign(conclusion.toldDb) * sum) / weights < RETURNED_SHARE * size;
  }
  return false;
}

function placeOf(place: Placed) {
  const { shape, centreMhz, widthMhz, delayNs, otherDelaysNs } = place;
  return { shape, centreMhz, widthMhz, delayNs, otherDelaysNs };
}

/** The place as it was, with the share of the size that it left open. */
function keptPlace(conclusion: OpenConclusion): Placed {
  const { shape, centreMhz, widthMhz, delayNs, otherDelaysNs, sizeDb } = conclusion;
  return { shape, centreMhz, widthMhz, delayNs, otherDelaysNs, explained: 0, amplitude: sizeDb };
}
