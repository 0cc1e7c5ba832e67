import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import type { CoaxType } from '../../ingest/signal/cableLossDb.ts';
import type { Fault } from './fault.ts';
import type { CorrelatedNoise } from './noise.ts';
import type { Climate, Surroundings } from './weather.ts';

/** What a provider hands over, before it differs from building to building. */
export interface ProviderFeed {
  readonly name: string;
  /** Level of digital carriers at the handoff. */
  readonly levelDbmv: number;
  /** Analogue visual carriers stand this far above the digital ones. */
  readonly analogueAboveDb: number;
  /** Standing differences from channel to channel, standard deviation. */
  readonly channelSpreadDb: number;
  /** Slow wander that all buildings of the provider share. */
  readonly wander: CorrelatedNoise;
  /** Change for each °C outdoors, from 15 °C on. */
  readonly temperatureDbPerC: number;
  readonly merDb: number;
  readonly cnrDb: number;
}

/** What a hop is made of, in the order the signal meets it. */
export type HopElement =
  | {
      readonly kind: 'cable';
      readonly type: CoaxType;
      readonly metres: number;
      readonly surroundings: Surroundings;
    }
  /** Splitters, taps and pads: the same loss at every frequency. */
  | { readonly kind: 'passive'; readonly what: string; readonly lossDb: number }
  /** Aligned at installation to give this output line at 20 °C, and fixed since. */
  | {
      readonly kind: 'amplifier';
      readonly outputDbmv: number;
      readonly outputTiltDb: number;
      readonly noiseFigureDb: number;
    }
  /** Holds its output line by itself while level and tilt at its input stay within ± the window. */
  | {
      readonly kind: 'self-correcting';
      readonly outputDbmv: number;
      readonly outputTiltDb: number;
      readonly noiseFigureDb: number;
      readonly windowDb: number;
    };

/** A test point and the hop that leads to it. */
export interface SimulatedPoint {
  readonly name: string;
  /** Null at the handoff. */
  readonly fedBy: string | null;
  readonly hop: readonly HopElement[];
  /** Where the instrument's own thermometer lies; null when it has none. */
  readonly thermometer: Surroundings | null;
}

/** An instrument and the time it takes over; the first one's time doesn't matter. */
export interface InstrumentPeriod {
  readonly instrument: string;
  readonly fromMs: number;
  /** How far it reads off the truth: level, tilt across the band, MER. */
  readonly levelBiasDb: number;
  readonly tiltBiasDb: number;
  readonly merBiasDb: number;
}

/** How an instrument errs from sweep to sweep. */
export interface MeterNoise {
  /** Each reading by itself. */
  readonly levelSdDb: number;
  readonly merSdDb: number;
  /** What the readings of a sweep share, with memory from sweep to sweep. */
  readonly sharedLevel: CorrelatedNoise;
  readonly sharedTilt: CorrelatedNoise;
  readonly sharedMer: CorrelatedNoise;
  /** Its own noise: the MER and CNR that it shows of a perfect carrier, and its noise figure. */
  readonly merCeilingDb: number;
  readonly cnrCeilingDb: number;
  readonly noiseFigureDb: number;
  readonly resolutionDb: number;
  /** Share of sweeps that never come, of sweeps that are nonsense, and of readings that are not taken. */
  readonly missingSweeps: number;
  readonly wildSweeps: number;
  readonly missingReadings: number;
}

/** What a feed carries from a moment on. */
export interface LineUp {
  readonly effectiveFromMs: number;
  /** In rising frequency. */
  readonly channels: readonly PlannedChannel[];
}

/** One building with everything that shapes its sweeps. The same description always gives the same sweeps. */
export interface SimulatedSite {
  readonly seed: number;
  readonly name: string;
  readonly climate: Climate;
  readonly feed: ProviderFeed;
  /** In rising time; the first also serves any time before it. */
  readonly lineUps: readonly LineUp[];
  /** Each after the point that feeds it. */
  readonly points: readonly SimulatedPoint[];
  /** In rising time; all points of the site share the instrument. */
  readonly instruments: readonly InstrumentPeriod[];
  readonly meter: MeterNoise;
  readonly faults: readonly Fault[];
}
