/**
 * The engine's vocabulary. Numbers only: no database, no clock, no HTTP.
 * Times are milliseconds since 1970-01-01 UTC, event time throughout.
 */
export const METRICS = ['level', 'tilt', 'flatness', 'mer'] as const;
export type Metric = (typeof METRICS)[number];

/** What a sweep says about a point once it is held against the reference; null is "the sweep cannot say". */
export interface Observation {
  readonly atMs: number;
  readonly instrument: string;
  readonly ambientC: number | null;
  /** Level at mid band and tilt across it, as measured. */
  readonly levelDbmv: number | null;
  readonly tiltDb: number | null;
  /** Peak to valley about the line, dB. */
  readonly flatnessDb: number | null;
  /** Smallest MER or CNR less its limit over the channels compared, dB. */
  readonly merMarginDb: number | null;
  /** RF channel with that smallest margin. */
  readonly merMarginChannel: string | null;
  /** Against the baseline, over channels that both it and the plan in force hold unchanged. */
  readonly levelDevDb: number | null;
  readonly tiltDevDb: number | null;
  readonly flatnessDevDb: number | null;
  readonly merDevDb: number | null;
  /** Planned channels looked for and not found, or far below the rest, as RF channel names. */
  readonly lostChannels: readonly string[];
  /** Planned channels that are there. One that is in neither list was not looked for. */
  readonly seenChannels: readonly string[];
  /** Channels of the plan measured or found lost. */
  readonly channels: number;
  /** Most channels are lost: the feed is gone and the other figures say nothing. */
  readonly feedLost: boolean;
}

/** Limits as the forecast needs them: the engine names the one that is reached first. */
export interface MetricLimits {
  readonly name: string;
  readonly metric: Metric;
  readonly min: number | null;
  readonly max: number | null;
}

/** What an observation is made against at one moment of event time. */
export interface Reference {
  readonly baselineVersion: number;
  readonly levelDbmv: number;
  readonly tiltDb: number;
  readonly flatnessDb: number;
  readonly merMarginDb: number | null;
  /** Air temperature during the baseline, °C. */
  readonly ambientC: number | null;
  /** How far the baseline's readings scattered, dB, as a standard deviation of one channel. */
  readonly levelSpreadDb: number | null;
  readonly merSpreadDb: number | null;
  /** Instruments that made the baseline: their bias is part of it. */
  readonly instruments: readonly string[];
  readonly limits: readonly MetricLimits[];
}

export type FindingKind = 'step' | 'drift' | 'channel-lost' | 'outage' | 'instrument-change';

/** A conclusion at one point. `(kind, metric, detectedMs)` is its identity within the point. */
export interface Finding {
  readonly kind: FindingKind;
  readonly metric: Metric | 'channels';
  readonly detectedMs: number;
  readonly onsetMs: number;
  readonly onsetLowMs: number;
  readonly onsetHighMs: number;
  /**
   * The change, dB, with its 80 % interval: of a step after less before, of a drift since its onset, of an
   * instrument its bias against the one before. 0 where the kind has no size (channel-lost, outage).
   */
  readonly sizeDb: number;
  readonly sizeLowDb: number;
  readonly sizeHighDb: number;
  readonly slopeDbPerDay: number | null;
  readonly slopeLowDbPerDay: number | null;
  readonly slopeHighDbPerDay: number | null;
  /** Days from the latest sweep until `limitName` is reached, 10/50/90 %; null when no limit lies ahead. */
  readonly daysToLimit: { readonly p10: number; readonly p50: number; readonly p90: number } | null;
  readonly limitName: string | null;
  readonly closedMs: number | null;
  readonly evidence: Readonly<Record<string, unknown>>;
}

/** Medians over one hour of event time; deviations are against the baseline in force. */
export interface HourRow {
  readonly hourMs: number;
  readonly sweeps: number;
  readonly levelDbmv: number | null;
  readonly levelDevDb: number | null;
  readonly tiltDb: number | null;
  readonly tiltDevDb: number | null;
  readonly flatnessDb: number | null;
  readonly merMarginDb: number | null;
  readonly ambientC: number | null;
}

export const HOUR_MS = 3_600_000;
export const DAY_MS = 86_400_000;

/** The part of a finding that is filled in once the change has been measured. */
export const UNMEASURED = {
  sizeDb: 0,
  sizeLowDb: 0,
  sizeHighDb: 0,
  slopeDbPerDay: null,
  slopeLowDbPerDay: null,
  slopeHighDbPerDay: null,
  daysToLimit: null,
  limitName: null,
  closedMs: null,
} as const satisfies Partial<Finding>;
