import type { Band } from './band.ts';
import type { ChannelShape, ChannelTrend, Interval, OpenConclusion } from './channelTrend.ts';
import { explainedDb, recentDeviation } from './deviations.ts';
import { isShownTwice } from './fastScan.ts';
import { fitShape } from './fitShape.ts';
import { CHI_SQUARE_80 } from './fitTrace.ts';
import { recentVariance, toWhole } from './recent.ts';
import { shapeValues } from './shapeValues.ts';
import { merBank, scanBank, type Template } from './templateBank.ts';
import { isWorthTelling } from './trace.ts';
import { CONCLUSIONS_MOST, MER_DEVIATES, NEWEST_WEIGHT } from './tuning.ts';

const RETURNED_SHARE = 0.3;
const BARE_SHARE = 0.6;
/** A change of level there explains a change of MER. */
const EXPLAINING_SHARE = 0.15;
/** With some allowance for the error of both. */
const MER_PER_LEVEL = 1.5;

/** Opens a conclusion about a group whose MER moved against its neighbours in two sweeps; null when there is none. */
export function openMerShift(
  trend: ChannelTrend,
  band: Band,
  newest: Float64Array,
  explained: Float64Array | null,
  nowMs: number,
): OpenConclusion | null {
  const values = recentDeviation(trend.mer, explained);
  const variance = recentVariance(trend.mer);
  const found = scanBank(merBank(band), values);
  if (found === null || found.explained < MER_DEVIATES ** 2 * variance) return null;
  const template = templateOf(band, found.shape)!;
  if (!isShownTwice(trend.mer, values, newest, (v) => contrast(template, v))) return null;
  if (!isAgainstSmooth(band, template, found.shape, values)) return null;
  const sibling = trend.conclusions.find(
    (open) => open.metric === 'mer' && sharesChannels(open.shape, found.shape),
  );
  if (sibling !== undefined) return followMerShift(trend, band, sibling, nowMs);
  const sizeDb = sizeOfStep(trend, template, newest, values, variance);
  if (trend.conclusions.length >= CONCLUSIONS_MOST) return null;
  if (
    !isWorthTelling(found.shape, 'mer', sizeDb.value) ||
    isExplained(trend, band, found.shape, sizeDb.value, nowMs)
  )
    return null;

  trend.counted++;
  const onset = trend.latestMs[1] ?? nowMs;
  const conclusion: OpenConclusion = {
    number: trend.counted,
    metric: 'mer',
    shape: found.shape,
    detectedMs: nowMs,
    onsetMs: { value: onset, low: trend.latestMs[3] ?? onset, high: onset },
    sizeDb,
    slopeDbPerDay: null,
    centreMhz: null,
    widthMhz: null,
    delayNs: null,
    otherDelaysNs: [],
    closedMs: null,
    trace: [],
    sizedMs: nowMs,
    placedMs: nowMs,
    toldDb: sizeDb.value,
    toldOnsetMs: onset,
    toldMs: nowMs,
  };
  trend.conclusions.push(conclusion);
  return conclusion;
}

/** Whether a group still stands out once all that runs smoothly along the band is taken out: noise may grow towards an end of the band. */
function isAgainstSmooth(band: Band, template: Template, shape: ChannelShape, values: Float64Array): boolean {
  const bare = fitShape(band, shapeValues(band, shape), values).amplitude;
  const { amplitude } = contrast(template, values);
  return bare * Math.sign(amplitude) > BARE_SHARE * Math.abs(amplitude);
}

/** A step is two to three sweeps old when it is found: the newest sweep shows all of it, the recent mean nearly two thirds. */
function sizeOfStep(
  trend: ChannelTrend,
  template: Template,
  newest: Float64Array,
  mean: Float64Array,
  variance: number,
): Interval {
  const shown = 1 - (1 - NEWEST_WEIGHT) ** 2;
  const size = sizeNow(template, mean, variance);
  const value =
    Math.max(Math.abs(contrast(template, newest).amplitude), Math.abs(size.value)) * Math.sign(size.value);
  const reach = (size.high - size.low) / 2 / shown;
  moveRecent(trend, template, value - size.value);
  const round = (db: number) => Math.round(1e3 * db) / 1e3;
  return { value: round(value), low: round(value - reach), high: round(value + reach) };
}

/** Takes the recent mean at once where a step has taken the readings. */
function moveRecent({ mer }: ChannelTrend, template: Template, missingDb: number): void {
  if (template.shape.kind !== 'channel-shift') return;
  for (let i = 0; i < template.values.length; i++) {
    if (template.values[i]! <= 0) continue;
    const k = template.from + i;
    mer.meanCdb[k] = toWhole(mer.meanCdb[k]! + 100 * missingDb);
  }
}

/** Works a shift out again that changed at once. */
function followMerShift(trend: ChannelTrend, band: Band, open: OpenConclusion, nowMs: number): null {
  const updated = updateMerShift(trend, band, open, null, nowMs);
  trend.conclusions = trend.conclusions.map((other) => (other === open ? updated : other));
  return null;
}

function sharesChannels(a: ChannelShape, b: ChannelShape): boolean {
  if (a.kind !== 'channel-shift' || b.kind !== 'channel-shift') return false;
  return a.channels.some((channel) => b.channels.includes(channel));
}

/** Sizes an open shift of MER again by the recent mean; closes it when it has returned. */
export function updateMerShift(
  trend: ChannelTrend,
  band: Band,
  conclusion: OpenConclusion,
  explainedByOthers: Float64Array | null,
  nowMs: number,
): OpenConclusion {
  const template = templateOf(band, conclusion.shape);
  if (template === null) return conclusion;
  const sizeDb = sizeNow(template, recentDeviation(trend.mer, explainedByOthers), recentVariance(trend.mer));
  const hasReturned =
    sizeDb.value * Math.sign(conclusion.toldDb) < RETURNED_SHARE * Math.abs(conclusion.toldDb);
  return {
    ...conclusion,
    sizeDb: hasReturned ? conclusion.sizeDb : sizeDb,
    sizedMs: nowMs,
    closedMs: hasReturned ? nowMs : null,
  };
}

/** The template of a group against its neighbours; null when the band has no such group. */
export function templateOf(band: Band, shape: ChannelShape): Template | null {
  if (shape.kind !== 'channel-shift') return null;
  const wanted = shape.channels.join(' ');
  return (
    merBank(band).templates.find(
      (template) => template.shape.kind === 'channel-shift' && template.shape.channels.join(' ') === wanted,
    ) ?? null
  );
}

/** Difference of a group's mean from its neighbours', with the template's energy. */
export function contrast(template: Template, values: Float64Array): { amplitude: number; energy: number } {
  let product = 0;
  template.values.forEach((weight, i) => {
    product += weight * values[template.from + i]!;
  });
  return { amplitude: product / template.energy, energy: template.energy };
}

function sizeNow(template: Template, values: Float64Array, variance: number): Interval {
  const { amplitude, energy } = contrast(template, values);
  const reach = Math.sqrt((CHI_SQUARE_80 * variance) / energy);
  const round = (db: number) => Math.round(1e3 * db) / 1e3;
  return { value: round(amplitude), low: round(amplitude - reach), high: round(amplitude + reach) };
}

/** A level that is known to have moved at these channels takes MER along; an echo does so where it takes level away, dB for dB at most. */
function isExplained(
  trend: ChannelTrend,
  band: Band,
  shape: ChannelShape,
  sizeDb: number,
  nowMs: number,
): boolean {
  const group = shapeValues(band, shape);
  return trend.conclusions.some((conclusion) => {
    if (conclusion.metric !== 'level') return false;
    if (conclusion.shape.kind === 'ripple') {
      const fall = explainedDb(band, [conclusion], 'level', nowMs, nowMs)!;
      return sizeDb < 0 && group.some((value, k) => value > 0 && fall[k]! * MER_PER_LEVEL < sizeDb);
    }
    const level = shapeValues(band, conclusion.shape);
    return group.some((value, k) => value > 0 && level[k]! > EXPLAINING_SHARE);
  });
}
