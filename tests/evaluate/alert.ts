/** Whose side a change is on. */
export type AlertSide = 'provider' | 'building' | 'unsure';

/** One finding as a person would be told of it now. Times are milliseconds since 1970-01-01 UTC, event time. */
export interface Alert {
  /** The same for one finding however often it is told. */
  readonly id: string;
  readonly kind: string;
  readonly metric: string;
  readonly detectedMs: number;
  readonly onsetMs: number;
  readonly onsetLowMs: number;
  readonly onsetHighMs: number;
  readonly closedMs: number | null;
  readonly sizeDb: number;
  readonly sizeLowDb: number;
  readonly sizeHighDb: number;
  readonly slopeDbPerDay: number | null;
  /** From the latest sweep, days. */
  readonly daysToLimit: { readonly p10: number; readonly p50: number; readonly p90: number } | null;
  /** Points at which the named hops end; `handoff` is the provider's part. */
  readonly hops: readonly string[];
  readonly side: AlertSide;
  readonly cause: string | null;
}
