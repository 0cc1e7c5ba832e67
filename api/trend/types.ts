/**
 * The engine's vocabulary. Numbers only: no database, no clock, no HTTP.
 * Times are milliseconds since 1970-01-01 UTC, event time throughout.
 */

/**
 * What a sweep is boiled down to, each as change from the baseline, dB: level at mid band; tilt across the band; bow, what
 * cable loss adds to a straight line; low end, what a poor contact adds to both; MER, the middle of the channels' changes.
 */
export const FEATURES = ['level', 'tilt', 'bow', 'lowEnd', 'mer'] as const;
export type Feature = (typeof FEATURES)[number];
export type Features<T = number> = Record<Feature, T>;

/** One value for each feature. */
export function byFeature<T>(make: (feature: Feature) => T): Features<T> {
  const made = {} as Features<T>;
  for (const feature of FEATURES) made[feature] = make(feature);
  return made;
}

/** What a finding's size speaks of, and what a limit is set on. */
export const METRICS = ['level', 'tilt', 'flatness', 'mer'] as const;
export type Metric = (typeof METRICS)[number];

/** What a sweep says about a point once it is held against the reference; null is "the sweep cannot say". */
export interface Observation {
  readonly atMs: number;
  readonly instrument: string;
  /** When the instrument was calibrated last, by the time of the sweep; null when nobody said. */
  readonly calibratedMs: number | null;
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
  /** Against the baseline, over channels that both it and the plan in force hold unchanged; null without a baseline. */
  readonly features: Features<number | null> | null;
  /** What the features leave of each carrier's change in level, and in MER or CNR, dB; parallel to the frame's carriers. */
  readonly levelRestDb: readonly (number | null)[];
  readonly merRestDb: readonly (number | null)[];
  /** Standard deviation of `levelRestDb` from carrier to carrier, dB, by the median; null with fewer than five. */
  readonly scatterDb: number | null;
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
  /** The last of those readings. */
  readonly madeUntilMs: number;
  readonly limits: readonly MetricLimits[];
}

/** A point as the engine knows it: what feeds it, and what its gear does by itself. */
export interface SitePoint {
  readonly pointId: number;
  /** Null at the root. */
  readonly fedBy: number | null;
  readonly isHandoff: boolean;
  /** Gear here holds its own output level and tilt while its input stays within `correctionWindowDb`. */
  readonly correctsItself: boolean;
  readonly correctionWindowDb: number | null;
}

export type FindingKind =
  | 'step'
  | 'drift'
  /** Short dips that come and go. */
  | 'dips'
  | 'notch'
  | 'ripple'
  /** One channel, or a group of them, moved against the others in level or MER. */
  | 'channel-shift'
  | 'channel-lost'
  | 'outage'
  | 'instrument-change';

/** How a change of level lies across the band. */
export type BandShape = 'flat' | 'cable' | 'low-end';

export type Side = 'provider' | 'building' | 'unsure';

/**
 * A conclusion as it shows at one point. One event gives one finding at the point nearest its root and one at each point below that
 * shows it too. `(event, pointId)` is its identity within the site.
 */
export interface Finding {
  /** Counts the site's events. */
  readonly event: number;
  readonly pointId: number;
  readonly kind: FindingKind;
  readonly metric: Metric | 'channels';
  /** Null where the change has none, or can't be told. */
  readonly shape: BandShape | null;
  readonly detectedMs: number;
  readonly onsetMs: number;
  readonly onsetLowMs: number;
  readonly onsetHighMs: number;
  /**
   * The change at this point, dB, with its 80 % interval: of a step after less before, of a drift since its onset, of a notch its
   * depth, of a ripple peak to valley, of dips the middle one's depth, of an instrument its bias against the one before.
   * 0 where the kind has no size (channel-lost, outage).
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
  readonly side: Side;
  /** Where the event begins: between `hopFrom` (null: before the handoff) and `hopTo`. */
  readonly hopFrom: number | null;
  readonly hopTo: number;
  /** Other hops, by the point that ends each, that explain what was seen almost as well. */
  readonly alsoPossible: readonly number[];
  /** The point of the same event that this one follows; null for the leading finding. */
  readonly explainedBy: number | null;
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
/** Slow change is looked for in means over this long. */
export const BLOCK_MS = 6 * HOUR_MS;
export const BLOCKS_A_DAY = 4;
