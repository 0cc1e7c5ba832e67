import type { Finding, Metric } from './types.ts';

/**
 * All that the engine remembers of a point: plain JSON, bounded however long the history, and enough to go on from.
 * Sums and times are in event time; a value that enters is kept to thousandths of a dB.
 */
export interface TrendState {
  readonly version: 1;
  lastMs: number | null;
  /** Baseline that the deviations are against, and since when; null before the first. */
  baselineVersion: number | null;
  baselineSinceMs: number;
  /** Usual time between sweeps, ms. */
  gapMs: number;
  readonly metrics: Record<Metric, MetricState>;
  /** Those used last, most recent at the end. */
  instruments: InstrumentState[];
  hour: HourState | null;
  day: DayState | null;
  /** Daily medians, oldest first. */
  readonly days: DayMedians;
  readonly loss: LossState;
  /** Findings that are open, or closed so lately that they may come back. */
  tracked: Tracked[];
}

/** One metric's deviation: how it moves when nothing is wrong, and the two sums that watch for a step. */
export interface MetricState {
  /** Where the deviation lies, free of temperature and instrument, dB; and how many sweeps stand behind it. */
  level: number;
  weight: number;
  /** Latest distance from `level`, clipped, dB. */
  last: number;
  /** Variance of what one sweep adds that the sweep before didn't foretell, at the usual gap, dB². */
  variance: number;
  count: number;
  /** Sums behind the lag-one correlation. */
  products: number;
  squares: number;
  /** Deviation per degree, dB/°C, learnt within days. */
  perDegree: number;
  perDegreeError: number;
  /** Slope and leverage (°C²) of each of the last days. */
  readonly dailySlopes: [slope: number, leverage: number][];
  /** What is left of the day's swing, as a standard deviation of the hours of a day, dB. */
  swing: number;
  up: number;
  upFromMs: number;
  upPriorMs: number;
  down: number;
  downFromMs: number;
  downPriorMs: number;
  suspectSinceMs: number | null;
  /** A step was found today. */
  disturbed: boolean;
  /** The last few sweeps: time and corrected deviation, dB. */
  recent: [atMs: number, deviationDb: number][];
  /** Drift is looked for from this day on. */
  driftFromDay: number;
}

/** What an instrument reads differently from those of the baseline, dB; learnt over its first day. */
export interface InstrumentState {
  readonly id: string;
  firstMs: number;
  lastMs: number;
  offset: Record<Metric, number>;
  /** Distances gathered while it is learnt, by metric; null once learnt. */
  learning: Record<Metric, number[]> | null;
  /** A baseline's own instrument has no level or tilt offset to learn. */
  readonly ofBaseline: boolean;
}

/** The sweeps of the hour in progress. */
export interface HourState {
  hourMs: number;
  sweeps: number;
  thenLevelDbmv: number | null;
  thenTiltDb: number | null;
  ambient: number[];
  readonly measured: Record<Metric, number[]>;
  /** Against baseline, free of instrument offsets. */
  readonly deviation: Record<Metric, number[]>;
}

/** Hourly medians of the day in progress; null where an hour has none. */
export interface DayState {
  readonly day: number;
  readonly hour: number[];
  readonly ambient: (number | null)[];
  readonly deviation: Record<Metric, (number | null)[]>;
}

export interface DayMedians {
  readonly day: number[];
  readonly ambient: (number | null)[];
  readonly deviation: Record<Metric, (number | null)[]>;
}

export interface LossState {
  /** Channels missing in the latest sweep and not yet in a finding: since when, and the sweep before. */
  pending: { channel: string; sinceMs: number; priorMs: number; sweeps: number }[];
  /** Open findings of lost channels in which nothing is lost any more: since when, and for how many sweeps. */
  returned: { key: string; sinceMs: number; sweeps: number }[];
  feedLostSweeps: number;
  feedLostSinceMs: number;
  feedLostPriorMs: number;
  feedBackSweeps: number;
  feedBackSinceMs: number;
}

export interface Tracked {
  finding: Finding;
  /** Corrected deviation before the event, dB. */
  fromDb: number;
  /** Largest size so far, dB. */
  peakDb: number;
  /** What a drift that goes on adds, dB/day; 0 for all else. */
  movingDbPerDay: number;
  /** Its size is still being refined until then. */
  settlingUntilMs: number;
  /** Another metric's finding that tells of the same event; nothing is said while that one is open. */
  ledBy: string | null;
}

/** Identity of a finding within its point. */
export function keyOf(finding: Finding): string {
  return `${finding.kind} ${finding.metric} ${finding.detectedMs}`;
}

/** State of a point that has seen nothing. */
export function emptyState(): TrendState {
  return {
    version: 1,
    lastMs: null,
    baselineVersion: null,
    baselineSinceMs: 0,
    gapMs: 0,
    metrics: byMetric(emptyMetric),
    instruments: [],
    hour: null,
    day: null,
    days: { day: [], ambient: [], deviation: byMetric(() => []) },
    loss: {
      pending: [],
      returned: [],
      feedLostSweeps: 0,
      feedLostSinceMs: 0,
      feedLostPriorMs: 0,
      feedBackSweeps: 0,
      feedBackSinceMs: 0,
    },
    tracked: [],
  };
}

export function emptyMetric(): MetricState {
  return {
    level: 0,
    weight: 0,
    last: 0,
    variance: 0,
    count: 0,
    products: 0,
    squares: 0,
    perDegree: 0,
    perDegreeError: 0,
    dailySlopes: [],
    swing: 0,
    up: 0,
    upFromMs: 0,
    upPriorMs: 0,
    down: 0,
    downFromMs: 0,
    downPriorMs: 0,
    suspectSinceMs: null,
    disturbed: false,
    recent: [],
    driftFromDay: 0,
  };
}

/** One value for each metric. */
export function byMetric<T>(make: (metric: Metric) => T): Record<Metric, T> {
  return { level: make('level'), tilt: make('tilt'), flatness: make('flatness'), mer: make('mer') };
}

/** Thousandths are finer than any meter and keep the stored row short. */
export function thousandths(value: number): number {
  return Math.round(value * 1000) / 1000 + 0;
}
