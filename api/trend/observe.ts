import { medianInPlace } from '../../ingest/signal/medianInPlace.ts';
import { robustLine } from '../../ingest/signal/robustLine.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { type BandFit, bandFit } from './bandFit.ts';
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
const FEWEST_FOR_SCATTER = 5;
/** A channel's change of MER counts as if it lay this far from the middle at most. */
const MER_CLIP_DB = 1;

/**
 * Holds a sweep against its frame. Its features come from a robust fit to the per-channel changes from the baseline, so that
 * neither a lost channel nor a line-up change bends them; level and tilt themselves are the baseline's plus the change, or a
 * line through the levels where there is no baseline.
 *
 * @param calibratedMs when the instrument was calibrated last before the sweep; null when nobody said
 * @throws RangeError when the sweep has another grid than the frame
 */
export function observe(sweep: Sweep, frame: Frame, calibratedMs: number | null = null): Observation {
  if (sweep.freqMhz.length !== frame.carriers.length) {
    throw new RangeError(`sweep has ${sweep.freqMhz.length} carriers, its frame ${frame.carriers.length}`);
  }
  const then = frame.line;
  const change = then === null ? null : deviations(sweep, frame);
  const fitted = change === null ? null : bandFit(change, frame);
  const fit =
    fitted === null ? (then === null ? absoluteFit(sweep, frame) : null) : changeFit(fitted, change!, frame);
  const lost = lostChannels(sweep, frame, fitted?.restDb ?? null);
  const feedLost = isFeedLost(lost, fitted);

  const line = feedLost ? null : fit;
  const margin = feedLost ? NO_MARGIN : worstMargin(sweep, frame, lost.below);
  const mer = feedLost || then === null ? NO_MER : merChange(sweep, frame, lost.below);
  const usable = line !== null && fitted !== null;
  return {
    atMs: sweep.atMs,
    instrument: sweep.instrument,
    calibratedMs,
    ambientC: sweep.ambientC,
    levelDbmv: line === null ? null : line.levelDb + (then?.levelDbmv ?? 0),
    tiltDb: line?.tiltDb == null ? null : line.tiltDb + (then?.tiltDb ?? 0),
    flatnessDb: line === null ? null : flatness(frame, line, lost.below),
    merMarginDb: margin.db,
    merMarginChannel: margin.channel,
    features: usable ? { ...fitted.features, tilt: line.tiltDb, mer: mer.middleDb } : null,
    levelRestDb: usable ? fitted.restDb : NOTHING,
    merRestDb: mer.restDb,
    scatterDb: usable && lost.seen.length >= FEWEST_FOR_SCATTER ? fitted.scatterDb : null,
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
  /** Null when the channels measured reach over too little of the band. */
  readonly tiltDb: number | null;
  /** Value less the straight line. */
  readonly residualDb: readonly (number | null)[];
}

/** The straight part of the fit: curves stay in the residual, as flatness means them to. */
function changeFit({ features, restDb }: BandFit, change: readonly (number | null)[], frame: Frame): Fit {
  const { bow, lowEnd } = frame.basis;
  const residualDb = restDb.map((rest, i) =>
    rest === null ? null : rest + features.bow * bow[i]! + features.lowEnd * lowEnd[i]!,
  );
  return withinReach({ levelDbmv: features.level, tiltDb: features.tilt, residualDb }, change, frame);
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

function lostChannels(sweep: Sweep, frame: Frame, restDb: readonly (number | null)[] | null): Lost {
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
    if (restDb === null || (restDb[i] ?? 0) > -LOST_BELOW_DB) continue;
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

function isFeedLost(lost: Lost, fitted: BandFit | null): boolean {
  const looked = lost.names.length + lost.seen.length;
  if (looked >= 3 && lost.names.length >= FEED_LOST_SHARE * looked) return true;
  return fitted !== null && fitted.features.level <= -FEED_FALL_DB;
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

interface MerChange {
  /** The middle of the channels' changes of MER or CNR, dB. */
  readonly middleDb: number | null;
  /** Each channel's less the middle. */
  readonly restDb: readonly (number | null)[];
}

const NOTHING: readonly (number | null)[] = [];
const NO_MER: MerChange = { middleDb: null, restDb: NOTHING };

/** Borrowed for the length of one call; nothing in here waits, so two calls never meet. */
let room = new Float64Array(256);

/** One step from the median towards the mean: its noise is hardly more than the mean's, and a channel that does as it likes counts for little. */
function merChange(sweep: Sweep, frame: Frame, below: Uint8Array | null): MerChange {
  const { carriers } = frame;
  if (room.length < carriers.length) room = new Float64Array(2 * carriers.length);
  const change = new Array<number | null>(carriers.length);
  let count = 0;
  for (let i = 0; i < carriers.length; i++) {
    const { channel, thenMerDb, thenCnrDb } = carriers[i]!;
    const mer = sweep.merDb?.[i] ?? null;
    const cnr = sweep.cnrDb?.[i] ?? null;
    change[i] = null;
    if (channel === null || below?.[i] === 1) continue;
    if (mer !== null && thenMerDb !== null) change[i] = mer - thenMerDb;
    else if (cnr !== null && thenCnrDb !== null) change[i] = cnr - thenCnrDb;
    if (change[i] !== null) room[count++] = change[i]!;
  }
  if (count === 0) return NO_MER;
  const middle = medianInPlace(room, count);
  let sum = 0;
  for (let i = 0; i < count; i++) sum += Math.max(-MER_CLIP_DB, Math.min(MER_CLIP_DB, room[i]! - middle));
  const middleDb = middle + sum / count;
  for (let i = 0; i < change.length; i++) if (change[i] !== null) change[i] = change[i]! - middleDb;
  return { middleDb, restDb: change };
}
