/** One sweep of a point, as the per-channel watch needs it. Arrays run parallel to `freqMhz`, which rises. */
export interface ChannelReading {
  readonly atMs: number;
  readonly freqMhz: readonly number[];
  /** RF names; null is outside the plan and ignored. */
  readonly channel: readonly (string | null)[];
  /** Change from the baseline after level, tilt, cable and low-end shapes are taken out, dB; null where not measured. */
  readonly levelRestDb: readonly (number | null)[];
  /** Change of MER from the baseline less the middle of all channels' changes, dB; null where not measured. */
  readonly merRestDb: readonly (number | null)[];
  readonly usualGapMs: number;
}

/** A value with the ends of its 80 % interval. */
export interface Interval {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** Where in the band a change lies. */
export type ChannelShape =
  /** A suck-out: 1/(1 + (2(f − centre)/width)²). */
  | { readonly kind: 'notch'; readonly centreMhz: number; readonly widthMhz: number }
  /** The cosine that one echo puts on the response, cos(2πfτ + phase). */
  | { readonly kind: 'ripple'; readonly delayNs: number; readonly phaseRad: number }
  /** Neighbouring channels that moved alike. */
  | { readonly kind: 'channel-shift'; readonly channels: readonly string[] };

/** What the watch concluded about one point. */
export interface ChannelConclusion {
  /** Counts the conclusions of this point; stays with the conclusion. */
  readonly number: number;
  readonly metric: 'level' | 'mer';
  readonly shape: ChannelShape;
  readonly detectedMs: number;
  readonly onsetMs: Interval;
  /** Change now, dB: of a notch at its centre (negative is loss), of a ripple peak to valley, of channels against the others. */
  readonly sizeDb: Interval;
  /** Null while a step fits as well. */
  readonly slopeDbPerDay: Interval | null;
  /** Of a notch. */
  readonly centreMhz: Interval | null;
  readonly widthMhz: Interval | null;
  /** Of a ripple. */
  readonly delayNs: Interval | null;
  /** Other delays that these channels can't tell from `delayNs`. */
  readonly otherDelaysNs: readonly number[];
  readonly closedMs: number | null;
}

export interface ChannelVerdicts {
  /** All that stands at this point now. */
  readonly open: readonly ChannelConclusion[];
  /** New, different by more than its interval, or closed. */
  readonly changed: readonly ChannelConclusion[];
}

/** Mean amplitude of a conclusion's shape over a stretch of time. */
export interface TracePoint {
  readonly fromMs: number;
  readonly toMs: number;
  readonly sweeps: number;
  readonly db: number;
  readonly errorDb: number;
}

export interface OpenConclusion extends ChannelConclusion {
  /** Rising in time. */
  readonly trace: readonly TracePoint[];
  /** When size and place were last worked out. */
  readonly sizedMs: number;
  readonly placedMs: number;
  /** As last told, to see whether it differs. */
  readonly toldDb: number;
  readonly toldOnsetMs: number;
  readonly toldMs: number;
}

/** Mean of a stretch of sweeps, by channel, in hundredths of a dB. */
export interface Block {
  /** Length in half days: 1, 2 or 4. */
  readonly halfDays: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly sweeps: number;
  readonly meanCdb: readonly number[];
}

/** The stretch being filled. */
export interface OpenBlock {
  fromMs: number;
  toMs: number;
  sweeps: number;
  readonly sumCdb: number[];
}

/** Level or MER of all channels as the latest sweeps show it. */
export interface Recent {
  sweeps: number;
  /** Weighted mean of the latest sweeps, hundredths of a dB. */
  readonly meanCdb: number[];
  /** What is normal since the baseline, thousandths of a dB. */
  readonly normalMdb: number[];
  /** How many sweeps the normal is worth. */
  normalSweeps: number;
  /** Standard deviation of one reading, dB. */
  noiseDb: number;
}

/** The state of a point: plain JSON. Arrays run parallel to the names in `channels`. */
export interface ChannelTrend {
  /** RF names, joined by spaces. */
  channels: string;
  freqMhz: readonly number[];
  level: Recent;
  mer: Recent;
  block: OpenBlock | null;
  /** Newest first. */
  history: Block[];
  /** How many times the variance of a block's mean is what white noise would give it, 1 or more. */
  blockInflation: number;
  /** Until when everything read is taken as normal, unless something is suspected. */
  learnUntilMs: number | null;
  scannedMs: number;
  /** Since when scans have come near to a conclusion; nothing is learnt meanwhile. */
  suspectedMs: number | null;
  /** Times of the latest sweeps, newest first. */
  latestMs: number[];
  conclusions: OpenConclusion[];
  counted: number;
}
