import { robustLine } from '../../ingest/signal/robustLine.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import type { Frame } from './frame.ts';
import type { Observation } from './types.ts';

/** A channel this far below the line of the others is lost, whatever a meter still reads there. */
export const LOST_BELOW_DB = 15;
/** With this share of the channels lost, it is the feed that is lost. */
const FEED_LOST_SHARE = 0.6;
/** A feed that fell by this much as a whole carries nothing. */
const FEED_FALL_DB = 25;
/** A tilt needs channels over this share of the band. */
const TILT_SHARE = 0.3;

/**
 * Holds a sweep against its frame. Level and tilt deviation come from a robust line through the per-channel deviations
 * from the baseline, so that neither a lost channel nor a line-up change bends them; level and tilt themselves
 * are the baseline's plus the deviation, or a line through the levels where there is no baseline.
 * @throws RangeError when the sweep has another grid than the frame
 */
export function observe(sweep: Sweep, frame: Frame): Observation {
  if (sweep.freqMhz.length !== frame.carriers.length) {
    throw new RangeError(`sweep has ${sweep.freqMhz.length} carriers, its frame ${frame.carriers.length}`);
  }
  const deviation = frame.line === null ? null : deviations(sweep, frame);
  const fit = deviation === null ? absoluteFit(sweep, frame) : deviationFit(deviation, frame);
  const lost = lostChannels(sweep, frame, deviation, fit);
  const feedLost = isFeedLost(lost, deviation, fit);

  const line = feedLost || fit === null ? null : fit;
  const then = frame.line;
  const flatnessDb = line === null ? null : flatness(frame, line, lost.below);
  const margin = feedLost ? NO_MARGIN : worstMargin(sweep, frame, lost.below);
  return {
    atMs: sweep.atMs,
    instrument: sweep.instrument,
    ambientC: sweep.ambientC,
    levelDbmv: line === null ? null : line.levelDb + (then?.levelDbmv ?? 0),
    tiltDb: line?.tiltDb == null ? null : line.tiltDb + (then?.tiltDb ?? 0),
    flatnessDb,
    merMarginDb: margin.db,
    merMarginChannel: margin.channel,
    levelDevDb: then === null ? null : (line?.levelDb ?? null),
    tiltDevDb: then === null ? null : (line?.tiltDb ?? null),
    flatnessDevDb: then === null || flatnessDb === null ? null : flatnessDb - frame.thenFlatnessDb,
    merDevDb: margin.db === null || frame.thenMarginDb === null ? null : margin.db - frame.thenMarginDb,
    lostChannels: lost.names,
    seenChannels: lost.seen,
    channels: lost.seen.length + lost.names.length,
    feedLost,
  };
}

/** Deviation from the baseline by carrier, dB; null where either is missing. Null without a baseline. */
export function deviations(sweep: Sweep, frame: Frame): (number | null)[] {
  const { carriers } = frame;
  const result = new Array<number | null>(carriers.length);
  for (let i = 0; i < carriers.length; i++) {
    const then = carriers[i]!.thenLevelDbmv;
    const now = sweep.levelDbmv[i]!;
    result[i] = then === null || now === null ? null : now - then;
  }
  return result;
}

interface Fit {
  readonly levelDb: number;
  readonly tiltDb: number | null;
  readonly residualDb: readonly (number | null)[];
}

function deviationFit(deviation: (number | null)[], frame: Frame): Fit | null {
  const fit = robustLine(frame.freqMhz, deviation, { lowMhz: frame.lowMhz, highMhz: frame.highMhz });
  return fit && withinReach(fit, deviation, frame);
}

function absoluteFit(sweep: Sweep, frame: Frame): Fit | null {
  const levels = frame.carriers.map((carrier, i) => (carrier.channel === null ? null : sweep.levelDbmv[i]!));
  const { group, lowMhz, highMhz } = frame;
  const fit = robustLine(frame.freqMhz, levels, { group, lowMhz, highMhz });
  return fit && withinReach(fit, levels, frame);
}

function withinReach(
  fit: { levelDbmv: number; tiltDb: number; residualDb: readonly (number | null)[] },
  values: readonly (number | null)[],
  frame: Frame,
): Fit {
  const first = values.findIndex((value) => value !== null);
  const last = values.findLastIndex((value) => value !== null);
  const reach = frame.freqMhz[last]! - frame.freqMhz[first]!;
  const wide = reach >= TILT_SHARE * (frame.highMhz - frame.lowMhz);
  return { levelDb: fit.levelDbmv, tiltDb: wide ? fit.tiltDb : null, residualDb: fit.residualDb };
}

interface Lost {
  readonly names: readonly string[];
  readonly seen: readonly string[];
  /** By carrier: measured, but too far below the line to count. Null when none is. */
  readonly below: Uint8Array | null;
}

function lostChannels(
  sweep: Sweep,
  frame: Frame,
  deviation: readonly (number | null)[] | null,
  fit: Fit | null,
): Lost {
  const names: string[] = [];
  let below: Uint8Array | null = null;
  let missing = 0;
  for (let i = 0; i < frame.carriers.length; i++) {
    const { channel } = frame.carriers[i]!;
    if (channel === null) continue;
    if (sweep.levelDbmv[i] === null) {
      missing++;
      continue;
    }
    if (deviation === null || deviation[i] === null) continue;
    if (fit === null || (fit.residualDb[i] ?? 0) > -LOST_BELOW_DB) continue;
    below ??= new Uint8Array(frame.carriers.length);
    below[i] = 1;
    names.push(channel);
  }
  const measured = missing + names.length === 0 ? frame.channels : measuredChannels(sweep, frame, below);
  for (const freqMhz of sweep.lostMhz) {
    const channel = frame.channelAt(freqMhz);
    if (channel !== null && !names.includes(channel)) names.push(channel);
  }
  return {
    names: names.sort(),
    seen: names.length === 0 ? measured : measured.filter((channel) => !names.includes(channel)),
    below,
  };
}

function measuredChannels(sweep: Sweep, frame: Frame, below: Uint8Array | null): string[] {
  const channels: string[] = [];
  for (let i = 0; i < frame.carriers.length; i++) {
    const { channel } = frame.carriers[i]!;
    if (channel !== null && sweep.levelDbmv[i] !== null && below?.[i] !== 1) channels.push(channel);
  }
  return channels;
}

function isFeedLost(lost: Lost, deviation: readonly (number | null)[] | null, fit: Fit | null): boolean {
  const looked = lost.names.length + lost.seen.length;
  if (looked >= 3 && lost.names.length >= FEED_LOST_SHARE * looked) return true;
  return deviation !== null && fit !== null && fit.levelDb <= -FEED_FALL_DB;
}

function flatness(frame: Frame, fit: Fit, below: Uint8Array | null): number | null {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < frame.carriers.length; i++) {
    const residual = fit.residualDb[i];
    if (residual == null || below?.[i] === 1) continue;
    const then = frame.line === null ? 0 : frame.thenResidualDb[i];
    if (then == null) continue;
    if (residual + then < low) low = residual + then;
    if (residual + then > high) high = residual + then;
  }
  return high >= low ? high - low : null;
}

const NO_MARGIN = { db: null, channel: null };

function worstMargin(
  sweep: Sweep,
  frame: Frame,
  below: Uint8Array | null,
): { db: number | null; channel: string | null } {
  let worst = Number.POSITIVE_INFINITY;
  let channel: string | null = null;
  for (let i = 0; i < frame.carriers.length; i++) {
    const carrier = frame.carriers[i]!;
    if (carrier.channel === null || below?.[i] === 1) continue;
    if (frame.line !== null && carrier.thenLevelDbmv === null) continue;
    const mer = sweep.merDb?.[i] ?? null;
    const cnr = sweep.cnrDb?.[i] ?? null;
    let margin = Number.POSITIVE_INFINITY;
    if (mer !== null && carrier.merLimitDb !== null) margin = mer - carrier.merLimitDb;
    else if (cnr !== null && carrier.cnrLimitDb !== null) margin = cnr - carrier.cnrLimitDb;
    if (margin < worst) {
      worst = margin;
      channel = carrier.channel;
    }
  }
  return channel === null ? NO_MARGIN : { db: worst, channel };
}
