import type { Shapes } from './bandBasis.ts';
import type { ChannelTrend } from './channels/channelTrend.ts';
import type { SlowKind } from './slow/growth.ts';
import type { SlowShape } from './slow/looks.ts';
import type { BandShape, Feature, Features, Finding, FindingKind, Metric, Reference } from './types.ts';

/**
 * All that the engine remembers of a site: plain JSON, bounded however long the history, and enough to go on from. Times are
 * milliseconds since 1970-01-01 UTC in event time. What there is one of is kept in dB, to thousandths; long lists are whole hundredths
 * (`Cdb`) or thousandths (`Mdb`) of a dB, which a person reads as well and which take half the room.
 */
export interface SiteTrend {
  readonly version: 3;
  readonly shared: SharedTrend;
  readonly points: Record<number, PointTrend>;
}

/** What belongs to no single point. */
export interface SharedTrend {
  lastMs: number | null;
  /** Six-hour block in progress, counted from 1970. */
  block: number;
  nextEvent: number;
  /** Open, or closed so lately that they may come back. */
  events: EventState[];
}

export interface PointTrend {
  lastMs: number | null;
  /** Usual time between sweeps, ms. */
  gapMs: number;
  /** What the changes are against now; null before the first baseline. */
  reference: Reference | null;
  /** What 1 dB of each shape does on this point's channels. */
  shapes: Shapes | null;
  /** Those used last, most recent at the end. */
  instruments: InstrumentState[];
  /** Short-term level and scatter of the features that single sweeps are judged by. */
  readonly quick: Features<QuickState>;
  /** Usual scatter from carrier to carrier, dB; null until the first sweep. */
  scatterDb: number | null;
  /** The rest of a sweep that was unlike all others, while the next is awaited. */
  odd: { readonly atMs: number; readonly restDb: readonly (number | null)[] } | null;
  suspicion: Suspicion | null;
  /** What open conclusions about single channels put on the features of the latest sweep, and was taken out; null without any. */
  cleared: Features | null;
  /** Short excursions of the last days: when, dB. */
  dips: [atMs: number, sizeDb: number][];
  readonly loss: LossState;
  hour: HourState | null;
  block: BlockState | null;
  readonly history: History;
  channels: ChannelTrend;
}

/** One feature's short-term level: where it lay in the last sweeps, and how sweeps scatter about it. */
export interface QuickState {
  level: number;
  variance: number;
  /** Sums behind the lag-one correlation. */
  products: number;
  squares: number;
  last: number;
  count: number;
}

/** Sweeps that lie off where the point lay, not yet confirmed by others. */
export interface Suspicion {
  readonly sinceMs: number;
  /** The sweep before. */
  readonly priorMs: number;
  readonly before: Features;
  sweeps: { readonly atMs: number; readonly change: Features }[];
}

/** What an instrument reads differently from the one before, dB. */
export interface InstrumentState {
  readonly id: string;
  /** The calibration that holds; absent where none is known. After another it reads like another instrument. */
  readonly calibratedMs?: number;
  firstMs: number;
  lastMs: number;
  offset: Features;
  /** Distances gathered while it is learnt; null once learnt. */
  learning: Features<number[]> | null;
}

/** The sweeps of the hour in progress. */
export interface HourState {
  hourMs: number;
  sweeps: number;
  thenLevelDbmv: number | null;
  thenTiltDb: number | null;
  readonly measured: Record<Metric, number[]>;
  ambient: number[];
}

/** The sweeps of the block in progress. */
export interface BlockState {
  readonly block: number;
  readonly cdb: Features<number[]>;
  /** Hundredths of a degree Celsius. */
  ambient: number[];
}

/** Means over blocks, oldest first and without gaps: entry i belongs to block `first + i`. */
export interface History {
  first: number;
  readonly meanCdb: Features<(number | null)[]>;
  /** Hundredths of a degree Celsius. */
  ambient: (number | null)[];
  /** Block of a change that the single sweeps told, or another instrument made: the level before says nothing of that after. */
  breaks: number[];
}

export interface LossState {
  /** Channels missing in the latest sweeps and not yet in an event: since when, and the sweep before. */
  pending: { channel: string; sinceMs: number; priorMs: number; sweeps: number }[];
  /** Sweeps in a row without any feed. */
  outage: { sinceMs: number; priorMs: number; sweeps: number } | null;
}

/** What a point shows of an event. */
export interface EventAt {
  readonly pointId: number;
  sizeDb: number;
  sizeLowDb: number;
  sizeHighDb: number;
  /** Features before it and the mean change of the sweeps since, where single sweeps told it. */
  before: Features | null;
  change: Features | null;
  sweeps: number;
  closedMs: number | null;
  /** Number of the conclusion about single channels that it stands for; null otherwise. */
  conclusion: number | null;
  /** Sweeps in a row that show nothing of it any more, and since when. */
  back: { sinceMs: number; sweeps: number } | null;
}

/** How far a slow change's size and rate may lie off, and together: dB², dB² a day², dB² a day. */
export interface Spread {
  readonly sizeVariance: number;
  readonly rateVariance: number;
  readonly covariance: number;
}

/** A slow change as fitted to the blocks. */
export interface SlowFit {
  readonly kind: SlowKind;
  readonly shape: SlowShape;
  readonly fromBlock: number;
  /** dB of the shape a day (ramp) or dB (step), with its 80 % interval. */
  readonly rate: number;
  readonly rateLow: number;
  readonly rateHigh: number;
  /** The same times the days since the onset, at the end of the latest block. */
  readonly sizeDb: number;
  readonly sizeLowDb: number;
  readonly sizeHighDb: number;
  readonly spread: Spread;
  readonly z: number;
  /** Largest size so far, dB. */
  readonly peakDb: number;
  /** Points that it reaches. */
  readonly reach: readonly number[];
}

/** One change of the plant, seen at one point or several. */
export interface EventState {
  readonly event: number;
  kind: FindingKind;
  metric: Finding['metric'];
  feature: Feature | null;
  shape: BandShape | null;
  detectedMs: number;
  onsetMs: number;
  onsetLowMs: number;
  onsetHighMs: number;
  /** The point that ends the hop where it begins. */
  root: number;
  alsoPossible: number[];
  sure: boolean;
  /** Of a slow change: as the blocks tell it; null where single sweeps told it. */
  slow: SlowFit | null;
  at: EventAt[];
  closedMs: number | null;
  /** Its size is still being refined until then. */
  settlingUntilMs: number;
  /** Until then it may wait for points upstream that have still to be heard. */
  waitingUntilMs: number;
  evidence: Record<string, unknown>;
  /** As told last; empty while it waits. */
  told: Finding[];
}

export function emptySiteTrend(): SiteTrend {
  return { version: 3, shared: { lastMs: null, block: 0, nextEvent: 1, events: [] }, points: {} };
}
