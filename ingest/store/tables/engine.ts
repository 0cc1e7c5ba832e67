import type { ColumnType, Insertable, Selectable } from 'kysely';
import type { Json, JsonWithDefault } from './column.ts';

/** What the engine knows of a site beyond its points, and how far it has come. */
export interface SiteStateTable {
  site_id: number;
  last_at: Date | null;
  state: Json<unknown> | null;
}

export interface PointStateTable {
  site_id: number;
  point_id: number;
  last_at: Date | null;
  state: Json<unknown> | null;
  latest: Json<unknown> | null;
}

/** All that the engine knew of a site once the sweeps up to and including `at` were taken in. */
export interface CheckpointTable {
  site_id: number;
  at: Date;
  state: Buffer;
}

/** Medians over the hour; `_dev_` is against the baseline in force. */
export interface HourlyTable {
  site_id: number;
  point_id: number;
  hour: Date;
  sweeps: number;
  level_dbmv: number | null;
  level_dev_db: number | null;
  tilt_db: number | null;
  tilt_dev_db: number | null;
  flatness_db: number | null;
  mer_margin_db: number | null;
  ambient_c: number | null;
}

/** One finding as it shows at one point; `event` counts those of the site. */
export interface FindingTable {
  site_id: number;
  event: number;
  point_id: number;
  kind: string;
  metric: string;
  shape: string | null;
  detected_at: Date;
  onset_at: Date;
  onset_low_at: Date;
  onset_high_at: Date;
  size_db: number;
  size_low_db: number;
  size_high_db: number;
  slope_db_per_day: number | null;
  slope_low_db_per_day: number | null;
  slope_high_db_per_day: number | null;
  /** Days from the last sweep until `limit_name` is reached: 10, 50 and 90 % quantiles. */
  limit_days_10: number | null;
  limit_days_50: number | null;
  limit_days_90: number | null;
  limit_name: string | null;
  closed_at: Date | null;
  side: 'provider' | 'building' | 'unsure';
  /** Points between which the event begins; `hop_from` is null before the handoff. */
  hop_from: number | null;
  hop_to: number;
  /** Ends of other hops that explain it almost as well; the driver reads `bigint[]` as text. */
  also_possible: ColumnType<string[], number[] | undefined, number[]>;
  /** Point of the same event that this one follows. */
  explained_by: number | null;
  evidence: JsonWithDefault<Record<string, unknown>>;
  /** Event time of the sweep that changed the row last: what was told after a checkpoint goes when the engine goes back to it. */
  told_at: Date;
}

export interface SiteRiskTable {
  site_id: number;
  /** Expected outlet-days of unacceptable service over the next 14 days. */
  outlet_days: number;
  sentence: string;
  verdict: 'steady' | 'watch' | 'act' | 'silent' | 'no-baseline';
  side: 'provider' | 'building' | 'unsure' | null;
  since: Date | null;
  days_to_limit: number | null;
  last_sweep_at: Date | null;
  /** Worst deviation from baseline in each slice of the band, hundredths of a dB; -32768 is "no reading". */
  strip: number[];
  parts: JsonWithDefault<Record<string, unknown>>;
  computed_at: Date;
}

export type FindingRow = Selectable<FindingTable>;
export type NewFinding = Insertable<FindingTable>;
export type SiteRiskRow = Selectable<SiteRiskTable>;
