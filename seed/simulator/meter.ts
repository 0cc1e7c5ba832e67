import type { Sweep } from '../../ingest/sweep.ts';
import type { Carriers } from './carriers.ts';
import { steppedNoise } from './noise.ts';
import type { InstrumentPeriod, MeterNoise } from './plant.ts';
import { gaussianStream, seedFrom, uniformAt, uniformStream } from './random.ts';

/** Below this an instrument finds no carrier. */
const SENSITIVITY_DBMV = -25;
const BAND_CENTRE_MHZ = 528;
const BAND_WIDTH_MHZ = 948;
const WILD_LEVEL_SD_DB = 7;
const WILD_READING_SD_DB = 4;

/** What stands at a test point: level and noise ratio of each carrier, and which carriers are not there. */
export interface Signal {
  readonly carriers: Carriers;
  readonly levelDbmv: Float64Array;
  readonly noise: Float64Array;
  readonly isLost: (index: number) => boolean;
}

/** Reads a signal the way an instrument does: with its bias, its noise and its rounding. */
export function measure(
  signal: Signal,
  meter: MeterNoise,
  period: InstrumentPeriod,
  pointSeed: number,
  atMs: number,
  ambientC: number | null,
): Sweep {
  const { carriers } = signal;
  const seed = seedFrom(pointSeed, atMs);
  const gaussian = gaussianStream(seed);
  const uniform = uniformStream(seedFrom(seed, 'readings not taken'));
  const instrumentSeed = seedFrom(pointSeed, period.instrument);
  const sharedDb =
    period.levelBiasDb + steppedNoise(seedFrom(instrumentSeed, 'level'), atMs, meter.sharedLevel);
  const tiltDb = period.tiltBiasDb + steppedNoise(seedFrom(instrumentSeed, 'tilt'), atMs, meter.sharedTilt);
  const sharedMerDb = period.merBiasDb + steppedNoise(seedFrom(instrumentSeed, 'mer'), atMs, meter.sharedMer);
  const wildDb = isWildSweep(meter, pointSeed, atMs) ? WILD_LEVEL_SD_DB * gaussian() : null;

  const freqMhz: number[] = [];
  const levelDbmv: (number | null)[] = [];
  const merDb: (number | null)[] = [];
  const cnrDb: (number | null)[] = [];
  const lostMhz: number[] = [];

  for (let index = 0; index < carriers.freqMhz.length; index += 1) {
    const freq = carriers.freqMhz[index]!;
    const trueDbmv = signal.levelDbmv[index]!;
    freqMhz.push(freq);
    if (signal.isLost(index) || trueDbmv < SENSITIVITY_DBMV) {
      lostMhz.push(freq);
      levelDbmv.push(null);
      merDb.push(null);
      cnrDb.push(null);
      continue;
    }

    let readDbmv =
      trueDbmv +
      sharedDb +
      (tiltDb * (freq - BAND_CENTRE_MHZ)) / BAND_WIDTH_MHZ +
      meter.levelSdDb * gaussian();
    if (wildDb !== null) readDbmv += wildDb + WILD_READING_SD_DB * gaussian();
    const ownNoise =
      carriers.meterNoise[index]! +
      10 ** ((carriers.floorDbmv[index]! + meter.noiseFigureDb - trueDbmv) / 10);
    const ratioDb =
      -10 * Math.log10(signal.noise[index]! + ownNoise) + sharedMerDb + meter.merSdDb * gaussian();
    const isTaken = uniform() >= meter.missingReadings;
    const isRatioTaken = isTaken && uniform() >= meter.missingReadings;

    levelDbmv.push(isTaken ? rounded(readDbmv, meter) : null);
    merDb.push(isRatioTaken && !carriers.isAnalogue[index] ? rounded(ratioDb, meter) : null);
    cnrDb.push(isRatioTaken && carriers.isAnalogue[index] ? rounded(ratioDb, meter) : null);
  }

  return {
    atMs,
    instrument: period.instrument,
    ambientC: ambientC === null ? null : Math.round(10 * (ambientC + 0.3 * gaussian())) / 10,
    freqMhz,
    levelDbmv,
    merDb,
    cnrDb: carriers.isAnalogue.includes(true) ? cnrDb : null,
    berPre: null,
    berPost: null,
    lostMhz,
  };
}

/** Whether the sweep at this moment is nonsense; the truth behind an outlier. */
export function isWildSweep(meter: MeterNoise, pointSeed: number, atMs: number): boolean {
  return uniformAt(seedFrom(pointSeed, 'wild'), atMs) < meter.wildSweeps;
}

/** Whether the sweep at this moment never reaches the sender. */
export function isMissingSweep(meter: MeterNoise, pointSeed: number, atMs: number): boolean {
  return uniformAt(seedFrom(pointSeed, 'missing'), atMs) < meter.missingSweeps;
}

function rounded(valueDb: number, meter: MeterNoise): number {
  const steps = Math.round(1 / meter.resolutionDb);
  return Math.round(valueDb * steps) / steps;
}
