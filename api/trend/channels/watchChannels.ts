import { alignChannels } from './alignChannels.ts';
import { type Band, bandOf } from './band.ts';
import type {
  ChannelConclusion,
  ChannelReading,
  ChannelShape,
  ChannelTrend,
  ChannelVerdicts,
  OpenConclusion,
  TracePoint,
} from './channelTrend.ts';
import { blockDeviation, explainedDb } from './deviations.ts';
import { fastScan, newestDeviation } from './fastScan.ts';
import { fitShape } from './fitShape.ts';
import { addToBlock, blockHasEnded } from './history.ts';
import { closeBlock, learnMer } from './learn.ts';
import { openMerShift, updateMerShift } from './merShift.ts';
import { isToBeTold, openLevel, toTell, updateLevel } from './openConclusion.ts';
import { type Deviation, recentVariance, takeReadings } from './recent.ts';
import { shapeValues } from './shapeValues.ts';
import { type Found, newestFirst, slowScan } from './slowScan.ts';
import { FIRST_SWEEPS, LEARN_MS, SCAN_EVERY_MS, SLOW_DEVIATES } from './tuning.ts';

const FEWEST_CHANNELS = 8;
const LATEST_SWEEPS = 4;
/** With fewer sweeps since, a slow scan would see what it saw before. */
const SWEEPS_A_SCAN = 4;
/** A scan of the recent mean costs much, so it is made when this shows: energy in standard deviations of its χ², or one channel. */
const GATE_ENERGY = 1.7;
const GATE_DEVIATES = 4.8;
const GATE_MER_DEVIATES = 4;
/** A change that stands out this far keeps the normal from learning. */
const SUSPICION = SLOW_DEVIATES - 1.7;
/** The newest block must show so much of a slow change. */
const NEWEST_SHARE = 0.6;

/**
 * Takes one sweep of a point into its per-channel state, which is changed, and tells what stands at single channels: suck-outs, the
 * ripple of an echo, channels or groups that moved against the others in level or MER. Sweeps come in rising time.
 */
export function watchChannels(trend: ChannelTrend, reading: ChannelReading): ChannelVerdicts {
  const band = bandOf(reading.freqMhz, reading.channel);
  const changed: ChannelConclusion[] = [];
  if (band.names.length >= FEWEST_CHANNELS) takeSweep(trend, band, reading, changed);
  return { open: trend.conclusions.map(toTell), changed };
}

function takeSweep(
  trend: ChannelTrend,
  band: Band,
  reading: ChannelReading,
  changed: ChannelConclusion[],
): void {
  const { atMs, levelRestDb, merRestDb, usualGapMs } = reading;
  alignChannels(trend, band);
  trend.learnUntilMs ??= atMs + LEARN_MS;
  if (blockHasEnded(trend, atMs)) closeBlock(trend, band);
  trend.latestMs = [atMs, ...trend.latestMs.slice(0, LATEST_SWEEPS - 1)];

  const explained = explainedDb(band, trend.conclusions, 'level', atMs, atMs);
  const explainedMer = explainedDb(band, trend.conclusions, 'mer', atMs, atMs);
  const level = takeReadings(trend.level, band, levelRestDb, explained);
  const mer = takeReadings(trend.mer, band, merRestDb, explainedMer);
  addToBlock(trend, atMs, band.carrier, levelRestDb, usualGapMs);
  learnMer(trend, atMs);
  if (trend.scannedMs === 0 && trend.level.sweeps < FIRST_SWEEPS) return;

  if (opensGate(level, band)) {
    const newest = newestDeviation(trend.level, band, levelRestDb, explained);
    const found = fastScan(trend, band, newest, explained);
    if (found !== null) tell(openFast(trend, band, found, newest, atMs, usualGapMs), changed);
  }
  if (mer.largest > GATE_MER_DEVIATES) {
    const newest = newestDeviation(trend.mer, band, merRestDb, explainedMer);
    tell(openMerShift(trend, band, newest, explainedMer, atMs), changed);
  }
  if (atMs >= trend.scannedMs + Math.max(SCAN_EVERY_MS, SWEEPS_A_SCAN * usualGapMs)) {
    trend.scannedMs = atMs;
    updateAll(trend, band, atMs, usualGapMs, changed);
    forgetClosed(trend, changed);
    tell(openSlow(trend, band, atMs, usualGapMs), changed);
  }
  forgetClosed(trend, changed);
}

function opensGate({ energy, largest }: Deviation, band: Band): boolean {
  const count = band.names.length;
  return largest > GATE_DEVIATES || energy > count + GATE_ENERGY * Math.sqrt(2 * count);
}

function openFast(
  trend: ChannelTrend,
  band: Band,
  found: Found,
  newest: Float64Array,
  atMs: number,
  gapMs: number,
): OpenConclusion | null {
  const latest = (shape: ChannelShape): TracePoint => {
    const { amplitude, energy } = fitShape(band, shapeValues(band, shape), newest);
    const errorDb = trend.level.noiseDb / Math.sqrt(Math.max(1e-6, energy));
    return {
      fromMs: atMs,
      toMs: atMs,
      sweeps: 1,
      db: rounded(amplitude),
      errorDb: rounded(errorDb),
    };
  };
  return openLevel(trend, band, found.candidate.shape, found.window, atMs, gapMs, latest);
}

function rounded(db: number): number {
  return Math.round(1e4 * db) / 1e4;
}

function openSlow(trend: ChannelTrend, band: Band, atMs: number, gapMs: number): OpenConclusion | null {
  const found = slowScan(trend, band);
  if (found === null || found.chiSquare < SUSPICION ** 2) trend.suspectedMs = null;
  else trend.suspectedMs ??= atMs;
  if (found === null || found.excess < 0 || !isInNewest(trend, band, found)) return null;
  return openLevel(trend, band, found.candidate.shape, found.window, atMs, gapMs, null);
}

function isInNewest(trend: ChannelTrend, band: Band, found: Found): boolean {
  if (found.candidate.shape.kind === 'ripple') return true;
  const template = shapeValues(band, found.candidate.shape);
  const whole = fitShape(band, template, found.window.values).amplitude * found.window.scale;
  const newest = newestFirst(trend)[0]!;
  const { amplitude, energy } = fitShape(
    band,
    template,
    blockDeviation(trend, band, newest, trend.conclusions),
  );
  const errorDb = Math.sqrt(recentVariance(trend.level) / Math.max(1e-6, energy));
  const shown = Math.sign(whole) * amplitude;
  return shown > 0 && shown + 2 * errorDb >= NEWEST_SHARE * Math.abs(whole);
}

function updateAll(
  trend: ChannelTrend,
  band: Band,
  atMs: number,
  gapMs: number,
  changed: ChannelConclusion[],
): void {
  for (const conclusion of trend.conclusions) {
    const others = trend.conclusions.filter((other) => other !== conclusion);
    const updated =
      conclusion.metric === 'level'
        ? updateLevel(trend, band, conclusion, atMs, gapMs)
        : updateMerShift(trend, band, conclusion, explainedDb(band, others, 'mer', atMs, atMs), atMs);
    const isOther = isToBeTold(updated, atMs);
    const told = isOther
      ? { ...updated, toldDb: updated.sizeDb.value, toldOnsetMs: updated.onsetMs.value, toldMs: atMs }
      : updated;
    trend.conclusions = trend.conclusions.map((other) => (other === conclusion ? told : other));
    if (isOther) changed.push(toTell(told));
  }
}

/** What has returned is told and forgotten, and the blocks that still show it. */
function forgetClosed(trend: ChannelTrend, changed: ChannelConclusion[]): void {
  const closed = trend.conclusions.filter(({ closedMs }) => closedMs !== null);
  if (closed.length === 0) return;
  changed.push(...closed.map(toTell));
  trend.conclusions = trend.conclusions.filter(({ closedMs }) => closedMs === null);
  if (closed.every(({ metric }) => metric !== 'level')) return;
  trend.history = [];
  trend.block = null;
}

function tell(opened: OpenConclusion | null, changed: ChannelConclusion[]): void {
  if (opened !== null) changed.push(toTell(opened));
}
