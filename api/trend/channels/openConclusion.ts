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
import { type Placed, placeShape } from './placeShape.ts';
import { recentVariance } from './recent.ts';
import { amplitudeOfSize, shapeValues, sizeOfAmplitude } from './shapeValues.ts';
import { newestFirst, type Window, weighBlocks } from './slowScan.ts';
import { takeOut } from './smoothBasis.ts';
import { levelBank, scanBank } from './templateBank.ts';
import { isWorthTelling, renewTrace, sized, traceOf } from './trace.ts';
import { SCAN_EVERY_MS } from './tuning.ts';

/** A change has returned when so little of it is left. */
const RETURNED_SHARE = 0.3;
/** How well the newest amplitude must be known for that, as a share of the size. */
const RETURNED_ERROR = 0.15;
const PLACED_EVERY_MS = DAY_MS;
/** A group may turn out to be a notch, or the other way round, when that explains so much χ² more. */
const OTHER_KIND_CHI_SQUARE = 12;
/** Delays nearer to one another than this, times 1/reach of the band, can't be told apart while one of them is being fitted. */
const SAME_DELAY = 1.5;
/** Two shapes share a channel where both have this share of their size. */
const SHARED_SHARE = 0.15;

/**
 * Opens a conclusion about level for what stands out in a window, and adds it to the trend; or closes one whose end it is. Null when
 * there is nothing to tell.
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
    return latest === null ? waitForPlace(trend, sibling) : followRecent(trend, band, sibling, nowMs);
  }
  const place = placeShape(band, shape, window.values, window.variance);
  const trace = traceOf(trend, band, place.shape, trend.conclusions, newestFirst(trend));
  if (latest !== null) trace.push(latest(place.shape));
  if (trace.length === 0) return null;
  const size = sized(shape.kind, fitTrace(trace, gapMs), place);
  if (!isWorthTelling(shape, 'level', size.sizeDb.value)) return null;

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
  };
  trend.conclusions.push(conclusion);
  if (latest !== null) moveRecent(trend.level, band, conclusion);
  return conclusion;
}

/** Takes the recent mean at once where a step has taken the readings, so that what is left of it is not found again. */
function moveRecent(recent: Recent, band: Band, conclusion: OpenConclusion): void {
  const template = shapeValues(band, conclusion.shape);
  const shown = fitShape(band, template, recentDeviation(recent, null)).amplitude;
  const missing = 1000 * (amplitudeOfSize(conclusion) - shown);
  for (let k = 0; k < template.length; k++) {
    recent.meanMdb[k] = Math.round(recent.meanMdb[k]! + missing * template[k]!);
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
  const ageMs = nowMs - conclusion.detectedMs;
  const isDue = nowMs - conclusion.placedMs >= Math.min(PLACED_EVERY_MS, Math.max(SCAN_EVERY_MS, ageMs));
  const place = isDue ? placeAgain(trend, band, conclusion, others) : null;
  const shape = place?.shape ?? conclusion.shape;
  const newest = newestFirst(trend).filter((block) => block.halfDays === 1);
  const trace = renewTrace(conclusion.trace, traceOf(trend, band, shape, others, newest));
  const placed = place === null ? conclusion : { ...conclusion, ...placeOf(place), placedMs: nowMs };
  if (hasReturned(placed, trace)) return { ...placed, trace, closedMs: nowMs, sizedMs: nowMs };

  const kept = place ?? keptPlace(conclusion);
  return { ...placed, ...sized(shape.kind, fitTrace(trace, gapMs), kept), trace, sizedMs: nowMs };
}

/** Whether what is known now differs from what was told by more than its interval. */
export function differsFromTold(conclusion: OpenConclusion): boolean {
  const { sizeDb, onsetMs, toldDb, toldOnsetMs, closedMs } = conclusion;
  if (closedMs !== null) return true;
  const isOther = toldDb < sizeDb.low || toldDb > sizeDb.high;
  return isOther || toldOnsetMs < onsetMs.low || toldOnsetMs > onsetMs.high;
}

/** A conclusion without what only the state needs. */
export function toTell(open: OpenConclusion): ChannelConclusion {
  const {
    trace: _trace,
    sizedMs: _sized,
    placedMs: _placed,
    toldDb: _db,
    toldOnsetMs: _onset,
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

/** Whether a shape found beside an open conclusion is a remainder of it: a ripple of the same delay, or channels in common. */
function isSamePlace(band: Band, open: OpenConclusion, shape: ChannelShape): boolean {
  if (open.metric !== 'level') return false;
  if (open.shape.kind === 'ripple' || shape.kind === 'ripple') {
    if (open.shape.kind !== 'ripple' || shape.kind !== 'ripple') return false;
    return Math.abs(open.shape.delayNs - shape.delayNs) * band.reachMhz < 1000 * SAME_DELAY;
  }
  return overlaps(band, open.shape, shape);
}

/** Has an open conclusion placed again at the next update. */
function waitForPlace(trend: ChannelTrend, open: OpenConclusion): null {
  replace(trend, open, { ...open, placedMs: 0 });
  return null;
}

/**
 * Moves an open conclusion to where the latest sweeps show it; its size is worked out at the next update. Gives it when it has
 * returned and is closed.
 */
function followRecent(
  trend: ChannelTrend,
  band: Band,
  open: OpenConclusion,
  nowMs: number,
): OpenConclusion | null {
  const others = trend.conclusions.filter((other) => other !== open);
  const values = recentDeviation(trend.level, explainedDb(band, others, 'level', nowMs, nowMs));
  takeOut(band.basis, values);
  const { kind } = open.shape;
  const shown = sizeOfAmplitude(kind, fitShape(band, shapeValues(band, open.shape), values).amplitude);
  if (shown * Math.sign(open.toldDb) < RETURNED_SHARE * Math.abs(open.toldDb)) {
    const closed = { ...open, closedMs: nowMs };
    replace(trend, open, closed);
    return closed;
  }
  const place = placeShape(band, open.shape, values, recentVariance(trend.level));
  const value = Math.round(1e4 * sizeOfAmplitude(kind, place.amplitude.value)) / 1e4;
  replace(trend, open, { ...open, ...placeOf(place), sizedMs: nowMs, sizeDb: { ...open.sizeDb, value } });
  return null;
}

function replace(trend: ChannelTrend, open: OpenConclusion, by: OpenConclusion): void {
  trend.conclusions = trend.conclusions.map((other) => (other === open ? by : other));
}

function overlaps(band: Band, a: ChannelShape, b: ChannelShape): boolean {
  const valuesA = shapeValues(band, a);
  const valuesB = shapeValues(band, b);
  return valuesA.some((value, k) => value > SHARED_SHARE && valuesB[k]! > SHARED_SHARE);
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
