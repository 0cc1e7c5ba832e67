/** What one request and one sweep may hold at the most, and the ranges that a reading can lie in. */
export const INGEST_LIMITS = {
  /** Bytes as sent, and after decompression. */
  maxBodyBytes: 8 * 1024 * 1024,
  maxDecodedBytes: 32 * 1024 * 1024,
  maxSweeps: 2_000,
  maxCarriers: 600,
  maxNameLength: 100,
  /** A sender's clock may run ahead by this much. */
  maxFutureMs: 10 * 60_000,
  maxAgeDays: 800,
} as const;

export type IngestLimits = { readonly [K in keyof typeof INGEST_LIMITS]: number };

/**
 * Inclusive range of one kind of reading, and what to look at when a value lies outside. Levels, ratios and
 * temperatures are kept to the nearest hundredth.
 */
export interface Range {
  readonly min: number;
  readonly max: number;
  readonly unit: string;
  readonly advice: string;
}

export const FREQ_MHZ: Range = { min: 5, max: 2000, unit: 'MHz', advice: 'give centre frequencies in MHz' };
export const LEVEL_DBMV: Range = { min: -60, max: 80, unit: 'dBmV', advice: 'check the unit' };
export const MER_DB: Range = { min: -10, max: 80, unit: 'dB', advice: 'give the ratio in dB' };
export const CNR_DB: Range = { min: -10, max: 100, unit: 'dB', advice: 'give the ratio in dB' };
export const BER: Range = { min: 0, max: 1, unit: '', advice: 'give a ratio of errors to bits' };
export const AMBIENT_C: Range = { min: -90, max: 90, unit: '°C', advice: 'give the temperature in °C' };
