import type { ColumnType, Generated, Insertable, Selectable } from 'kysely';
import type { Modulation, Service } from '../plan/channelPlan.ts';

/** What each table holds; the migrations beside this file say the same to PostgreSQL. */
export interface Database {
  provider: ProviderTable;
  channel_plan: ChannelPlanTable;
  channel_plan_version: ChannelPlanVersionTable;
  planned_channel: PlannedChannelTable;
  site: SiteTable;
  point: PointTable;
  site_key: SiteKeyTable;
  grid: GridTable;
  sweep: SweepTable;
  daily_median: DailyMedianTable;
  arrival: ArrivalTable;
  rejected_sweep: RejectedSweepTable;
  baseline: BaselineTable;
  fleet_limit_choice: FleetLimitChoiceTable;
  site_limit_choice: SiteLimitChoiceTable;
  site_state: SiteStateTable;
  point_state: PointStateTable;
  checkpoint: CheckpointTable;
  hourly: HourlyTable;
  finding: FindingTable;
  site_risk: SiteRiskTable;
  audit: AuditTable;
}

type Json<T> = ColumnType<T, string, string>;
type JsonWithDefault<T> = ColumnType<T, string | undefined, string>;
type WithDefault<T> = ColumnType<T, T | undefined, T>;

export const RASTERS = ['STD', 'HRC', 'IRC', '8 MHz', 'own'] as const;
export type RasterName = (typeof RASTERS)[number];

export const POINT_KINDS = [
  'handoff',
  'gear-input',
  'gear-output',
  'amplifier',
  'splitter',
  'outlet',
] as const;
export type PointKind = (typeof POINT_KINDS)[number];

export interface ProviderTable {
  provider_id: Generated<number>;
  name: string;
  contact: WithDefault<string>;
  created_at: Generated<Date>;
}

export interface ChannelPlanTable {
  plan_id: Generated<number>;
  name: string;
  raster: RasterName;
  created_at: Generated<Date>;
}

export interface ChannelPlanVersionTable {
  plan_id: number;
  version: number;
  effective_from: Date;
  note: WithDefault<string>;
  created_by: string;
  created_at: Generated<Date>;
}

export interface PlannedChannelTable {
  plan_id: number;
  version: number;
  channel: string;
  centre_mhz: number;
  width_mhz: number;
  modulation: Modulation;
  services: JsonWithDefault<Service[]>;
}

export interface SiteTable {
  site_id: Generated<number>;
  name: string;
  town: WithDefault<string>;
  address: WithDefault<string>;
  /** IANA zone, such as "America/Chicago". */
  time_zone: string;
  latitude: number | null;
  longitude: number | null;
  outlets: number;
  provider_id: number | null;
  plan_id: number | null;
  contact: WithDefault<string>;
  access_notes: WithDefault<string>;
  created_at: Generated<Date>;
}

export interface PointTable {
  site_id: number;
  point_id: Generated<number>;
  /** The contract's "point". */
  name: string;
  label: WithDefault<string>;
  kind: PointKind;
  fed_by: number | null;
  /** Outlets that hang on this point and on no point below it. */
  outlets: WithDefault<number>;
  /** Seconds between sweeps when all is well. */
  interval_s: WithDefault<number>;
  /** Gear here holds its own output level and tilt while the input stays in its window. */
  corrects_itself: WithDefault<boolean>;
  correction_window_db: number | null;
  /** What lies between this point and the one that feeds it. */
  hop_note: WithDefault<string>;
  created_at: Generated<Date>;
}

export interface SiteKeyTable {
  site_id: number;
  key_id: Generated<number>;
  secret_sha256: Buffer;
  label: string;
  created_by: string;
  created_at: Generated<Date>;
  last_used_at: Date | null;
  revoked_at: Date | null;
}

export interface GridTable {
  site_id: number;
  grid_id: Generated<number>;
  freq_hz: number[];
}

/** Arrays run parallel to the grid's `freq_hz`; `_cdb` is hundredths of a dB, `_cc` hundredths of a °C. */
export interface SweepTable {
  site_id: number;
  point_id: number;
  at: Date;
  instrument: string;
  received_at: Date;
  grid_id: number;
  level_cdbmv: (number | null)[];
  mer_cdb: (number | null)[] | null;
  cnr_cdb: (number | null)[] | null;
  ber_pre: (number | null)[] | null;
  ber_post: (number | null)[] | null;
  lost_hz: number[] | null;
  ambient_cc: number | null;
}

/** What is left of a day's sweeps that were let go; `day` is its first moment, UTC. */
export interface DailyMedianTable {
  site_id: number;
  point_id: number;
  day: Date;
  sweeps: number;
  instruments: string[];
  freq_hz: number[];
  level_cdbmv: (number | null)[];
  mer_cdb: (number | null)[] | null;
  cnr_cdb: (number | null)[] | null;
  lost_hz: number[];
  ambient_cc: number | null;
}

/** "Something at this point is new from `first_at` on": sweeps, a baseline, a plan version, a limit. */
export interface ArrivalTable {
  site_id: number;
  arrival_id: Generated<number>;
  point_id: number;
  first_at: Date;
}

export interface RejectedSweepTable {
  site_id: number;
  rejection_id: Generated<number>;
  received_at: Date;
  point: string | null;
  at: string | null;
  path: string;
  reason: string;
}

export interface BaselineTable {
  site_id: number;
  point_id: number;
  version: number;
  /** Sweeps from here on are judged against this version. */
  effective_from: Date;
  from_at: Date;
  to_at: Date;
  sweeps: number;
  instruments: string[];
  freq_hz: number[];
  level_cdbmv: (number | null)[];
  level_spread_cdb: (number | null)[];
  mer_cdb: (number | null)[] | null;
  mer_spread_cdb: (number | null)[] | null;
  cnr_cdb: (number | null)[] | null;
  level_dbmv: number;
  tilt_db: number;
  flatness_db: number;
  worst_mer_margin_db: number | null;
  ambient_c: number | null;
  outside: JsonWithDefault<unknown[]>;
  exception_note: string | null;
  accepted_by: string;
  accepted_at: Date;
}

export interface FleetLimitChoiceTable {
  choice_id: Generated<number>;
  kind: PointKind;
  set_id: string;
  changes: JsonWithDefault<unknown[]>;
  reason: string;
  chosen_by: string;
  chosen_at: Generated<Date>;
}

/** For every point of a kind at the site, or for one point; the newest choice wins and none is deleted. */
export interface SiteLimitChoiceTable {
  site_id: number;
  choice_id: Generated<number>;
  kind: PointKind | null;
  point_id: number | null;
  set_id: string;
  changes: JsonWithDefault<unknown[]>;
  reason: string;
  chosen_by: string;
  chosen_at: Generated<Date>;
}

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

/** One change by a person or a token. `site_id` is a note, not a key: the row outlives what it speaks of. */
export interface AuditTable {
  audit_id: Generated<number>;
  at: Date;
  by_whom: string;
  /** "session", "token", "link" for a one-time link, or what else acted. */
  via: string;
  action: string;
  subject_kind: string;
  subject_id: string;
  site_id: number | null;
  /** Null where there was nothing before, or nothing after. */
  before: ColumnType<unknown, string | null, never>;
  after: ColumnType<unknown, string | null, never>;
}

export type Site = Selectable<SiteTable>;
export type NewSite = Insertable<SiteTable>;
export type Point = Selectable<PointTable>;
export type NewPoint = Insertable<PointTable>;
export type BaselineRow = Selectable<BaselineTable>;
export type NewBaseline = Insertable<BaselineTable>;
export type SweepRow = Selectable<SweepTable>;
export type FindingRow = Selectable<FindingTable>;
export type NewFinding = Insertable<FindingTable>;
export type SiteRiskRow = Selectable<SiteRiskTable>;
