import type { MeterNoise, ProviderFeed } from './plant.ts';
import type { Climate } from './weather.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

/**
 * An ordinary instrument, by common practice: repeats within about 0.3 dB, with a serial correlation of 0.6 from
 * one quarter-hourly sweep to the next; shows 40 dB of MER at most; one sweep in twenty is missing and three in a
 * thousand are nonsense.
 */
export const ORDINARY_METER: MeterNoise = {
  levelSdDb: 0.2,
  merSdDb: 0.3,
  sharedLevel: { sd: 0.15, stepMs: 15 * MINUTE_MS, correlation: 0.6 },
  sharedTilt: { sd: 0.12, stepMs: 15 * MINUTE_MS, correlation: 0.6 },
  sharedMer: { sd: 0.15, stepMs: 15 * MINUTE_MS, correlation: 0.6 },
  merCeilingDb: 41,
  cnrCeilingDb: 54,
  noiseFigureDb: 12,
  resolutionDb: 0.1,
  missingSweeps: 0.05,
  wildSweeps: 0.003,
  missingReadings: 0.0005,
};

/** An ordinary feed: 20 dBmV and flat at the handoff, wandering by tenths of a dB over days. */
export const ORDINARY_FEED: ProviderFeed = {
  name: 'ordinary feed',
  levelDbmv: 20,
  analogueAboveDb: 5,
  channelSpreadDb: 0.35,
  wander: { sd: 0.12, stepMs: 12 * HOUR_MS, correlation: 0.7 },
  temperatureDbPerC: -0.006,
  merDb: 47,
  cnrDb: 50,
};

/** A temperate inland climate. */
export const ORDINARY_CLIMATE: Climate = {
  name: 'ordinary climate',
  meanC: 12,
  yearSwingC: 11,
  daySwingC: 5,
  utcOffsetHours: -6,
  weather: { sd: 3, stepMs: 8 * HOUR_MS, correlation: 0.85 },
};
