/** Downstream modulations that a plan may name. `ofdm` is a block wider than one channel. */
export const MODULATIONS = ['analogue', 'qam64', 'qam256', '8vsb', 'ofdm'] as const;
export type Modulation = (typeof MODULATIONS)[number];

/** A programme as the viewer finds it; its number is not the RF channel. */
export interface Service {
  /** What the viewer dials, such as "7", "7.1" or "702". */
  readonly number: string;
  readonly name: string;
}

/** One channel that a feed is expected to carry. */
export interface PlannedChannel {
  /** RF channel as the raster names it, such as "2", "95", "S21". */
  readonly channel: string;
  /** Centre of the channel, MHz. Analogue visual carriers lie 1.75 MHz lower in 6 MHz rasters. */
  readonly centreMhz: number;
  readonly widthMhz: number;
  readonly modulation: Modulation;
  readonly services: readonly Service[];
}

/** What a feed carries from `effectiveFromMs` on, until the next version takes over. */
export interface PlanVersion {
  readonly planId: number;
  readonly version: number;
  readonly effectiveFromMs: number;
  readonly note: string;
  /** In rising frequency. */
  readonly channels: readonly PlannedChannel[];
}
