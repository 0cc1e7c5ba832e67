import { robustLine } from '../../ingest/signal/robustLine.ts';
import { type BandBasis, bandBasis } from './bandBasis.ts';

/** One carrier of a sweep's grid, with what it is held against. */
export interface Carrier {
  readonly freqMhz: number;
  /** RF channel by the plan in force; null outside the plan. */
  readonly channel: string | null;
  /** Carriers of one kind share a level: the modulation. */
  readonly group: string;
  /** Baseline, null where baseline and plan in force don't hold this channel unchanged. */
  readonly thenLevelDbmv: number | null;
  readonly thenMerDb: number | null;
  readonly thenCnrDb: number | null;
  /** Smallest MER and CNR by the point's limits. */
  readonly merLimitDb: number | null;
  readonly cnrLimitDb: number | null;
}

/** The baseline's own line over its own band. */
export interface BaselineLine {
  readonly levelDbmv: number;
  readonly tiltDb: number;
}

/** What sweeps of one grid are held against while baseline, plan and limits stay the same. */
export interface Frame {
  readonly carriers: readonly Carrier[];
  readonly freqMhz: readonly number[];
  readonly group: readonly string[];
  /** Ends of the band that level and tilt speak of, MHz. */
  readonly lowMhz: number;
  readonly highMhz: number;
  readonly line: BaselineLine | null;
  /** Shapes that a change is measured by, over the carriers that the baseline holds. */
  readonly basis: BandBasis;
  /** Baseline about its own line, parallel to `carriers`. */
  readonly thenResidualDb: readonly (number | null)[];
  readonly thenFlatnessDb: number;
  /** RF channel of each carrier, null outside the plan or where the baseline doesn't hold it. */
  readonly channelNames: readonly (string | null)[];
  /** Names of the planned carriers, rising in frequency. */
  readonly channels: readonly string[];
  /** Planned channel at a frequency, for carriers reported lost. */
  readonly channelAt: (freqMhz: number) => string | null;
}

/**
 * Prepares a frame. `band` is that of the baseline, or of the grid where there is none; `line` is null where
 * there is no baseline. Carriers come in rising frequency.
 */
export function buildFrame(input: {
  carriers: readonly Carrier[];
  band: { lowMhz: number; highMhz: number };
  line: BaselineLine | null;
  channelAt: (freqMhz: number) => string | null;
}): Frame {
  const freqMhz = input.carriers.map((carrier) => carrier.freqMhz);
  const group = input.carriers.map((carrier) => carrier.group);
  const then = input.carriers.map((carrier) => carrier.thenLevelDbmv);
  const thenResidualDb = robustLine(freqMhz, then, { group })?.residualDb ?? then.map(() => null);
  return {
    carriers: input.carriers,
    freqMhz,
    group,
    lowMhz: input.band.lowMhz,
    highMhz: input.band.highMhz,
    line: input.line,
    basis: bandBasis(
      freqMhz,
      then.map((level) => level !== null),
      input.band.lowMhz,
      input.band.highMhz,
    ),
    thenResidualDb,
    thenFlatnessDb: peakToValley(thenResidualDb),
    channelNames: input.carriers.map(({ channel, thenLevelDbmv }) =>
      thenLevelDbmv === null ? null : channel,
    ),
    channels: input.carriers.map((carrier) => carrier.channel).filter((channel) => channel !== null),
    channelAt: input.channelAt,
  };
}

function peakToValley(values: readonly (number | null)[]): number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value === null) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return high >= low ? high - low : 0;
}
