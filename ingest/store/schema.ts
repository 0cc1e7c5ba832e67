import type { ColumnType, Generated, Insertable, Selectable } from 'kysely';
import type { AgentReport } from '../contract/agentReport.ts';
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
  reading_way: ReadingWayTable;
  alert: AlertTable;
  alert_change: AlertChangeTable;
  alert_finding: AlertFindingTable;
  alert_watch: AlertWatchTable;
  complaint: ComplaintTable;
  visit_day: VisitDayTable;
  visit: VisitTable;
  visit_alert: VisitAlertTable;
  visit_result: VisitResultTable;
  notify_target: NotifyTargetTable;
  notify_rule: NotifyRuleTable;
  notify_near: NotifyNearTable;
  delivery: DeliveryTable;
  delivery_item: DeliveryItemTable;
  delivery_attempt: DeliveryAttemptTable;
  agent_report: AgentReportTable;
  instrument: InstrumentTable;
  instrument_calibration: InstrumentCalibrationTable;
  maintenance_window: MaintenanceWindowTable;
  probe: ProbeTable;
  probe_instrument: ProbeInstrumentTable;
  probe_run: ProbeRunTable;
  probe_day: ProbeDayTable;
  typed_draft: TypedDraftTable;
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

/** How the readings of a point come, as it was decided while the site was set up. */
export interface ReadingWayTable {
  site_id: number;
  point_id: number;
  way: Json<unknown>;
  chosen_by: string;
  chosen_at: Date;
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

/** Severities after ITU-T X.733, gravest first; "cleared" is said by the state. */
export const SEVERITIES = ['critical', 'major', 'minor', 'warning', 'indeterminate'] as const;
export type Severity = (typeof SEVERITIES)[number];

/** States of an alarm after ISA-18.2. */
export const ALERT_STATES = [
  'active-unacknowledged',
  'active-acknowledged',
  'returned-unacknowledged',
  'shelved',
  'suppressed',
  'out-of-service',
  'normal',
] as const;
export type AlertState = (typeof ALERT_STATES)[number];

export const ALERT_CHANGES = [
  'raised',
  'severity',
  'acknowledged',
  'returned',
  'back',
  'shelved',
  'unshelved',
  'suppressed',
  'unsuppressed',
  'out-of-service',
  'in-service',
  'joined',
  'note',
  'closed',
] as const;
export type AlertChangeKind = (typeof ALERT_CHANGES)[number];

/** What a person is told about one cause, at a site or over a provider's sites. */
export interface AlertTable {
  alert_id: Generated<number>;
  kind: 'site' | 'provider-event';
  /** Null for a provider's event. */
  site_id: number | null;
  provider_id: number | null;
  /** Place, kind family, metric and direction: what a replay of the engine doesn't change. */
  cause_key: string;
  severity: Severity;
  state: AlertState;
  title: string;
  sentence: string;
  side: 'provider' | 'building' | 'unsure' | null;
  cause: string | null;
  do_first: string;
  onset_at: Date;
  raised_at: Date;
  /** When the condition was last confirmed to be over; null while it stands. */
  returned_at: Date | null;
  closed_at: Date | null;
  /** Days from the last look until a limit is reached: 10, 50 and 90 % quantiles. */
  limit_days_10: number | null;
  limit_days_50: number | null;
  limit_days_90: number | null;
  outlets: number;
  sites: number;
  /** Expected outlet-days of unacceptable service over the next 14 days. */
  priority: number;
  shelved_until: Date | null;
  acknowledged_by: string | null;
  acknowledged_at: Date | null;
  /** Point that ends the hop in which the cause lies. */
  hop_to: number | null;
  onset_low_at: Date;
  onset_high_at: Date;
  /** Since when the condition is over, before the alert has said so; null while it stands. */
  gone_at: Date | null;
  /** Since when a lower severity would do. */
  calmer_since: Date | null;
  /** The provider's event that this alert has joined. */
  part_of: number | null;
}

/** Append-only: `change_id` rises, so whoever follows keeps the last one seen. */
export interface AlertChangeTable {
  change_id: Generated<number>;
  alert_id: number;
  at: Date;
  kind: AlertChangeKind;
  by_whom: string;
  why: string;
  before: Json<Record<string, unknown>> | null;
  after: Json<Record<string, unknown>> | null;
}

/** Findings that an alert tells of. */
export interface AlertFindingTable {
  alert_id: number;
  site_id: number;
  event: number;
  point_id: number;
}

/** What a site's alerts were last worked out from, and when they have to be looked at though nothing comes in. */
export interface AlertWatchTable {
  site_id: number;
  provider_id: number | null;
  fingerprint: string;
  due_at: Date | null;
  /** Conditions of which other sites of the provider may show more. */
  shared: JsonWithDefault<unknown[]>;
}

export const SYMPTOMS = [
  'no-picture',
  'breaks-up',
  'noise',
  'missing',
  'sound',
  'internet',
  'other',
] as const;
export type Symptom = (typeof SYMPTOMS)[number];

/** What somebody in a building said; nothing is overwritten, a mistake is withdrawn. */
export interface ComplaintTable {
  site_id: number;
  complaint_id: Generated<number>;
  seen_at: Date;
  point_id: number | null;
  /** Room, flat or outlet as the person names it. */
  outlet: WithDefault<string>;
  symptom: Symptom;
  /** The channel as the viewer names it. */
  viewer_channel: WithDefault<string>;
  /** RF channel that it stood for by the plan in force at `seen_at`; null where that can't be told. */
  rf_channel: string | null;
  note: WithDefault<string>;
  logged_by: string;
  logged_at: Date;
  withdrawn_by: string | null;
  withdrawn_at: Date | null;
}

/** A working day of one technician, over several sites. */
export interface VisitDayTable {
  day_id: Generated<number>;
  technician: string;
  start_name: string;
  start_latitude: number | null;
  start_longitude: number | null;
  time_zone: string;
  from_at: Date;
  to_at: Date;
  back_minutes: number;
  created_by: string;
  created_at: Date;
  cancelled_by: string | null;
  cancelled_at: Date | null;
}

/** The newest heartbeat of each agent at a site. */
export interface AgentReportTable {
  site_id: number;
  agent: string;
  received_at: Date;
  report: Json<AgentReport>;
}

/** What a sweep calls its instrument, and what people know of it. Calibration is the newest one's. */
export interface InstrumentTable {
  site_id: number;
  name: string;
  serial: WithDefault<string>;
  note: WithDefault<string>;
  calibrated_at: Date | null;
  calibration_due_at: Date | null;
  uncertainty_db: number | null;
  created_at: Generated<Date>;
}

export interface InstrumentCalibrationTable {
  site_id: number;
  calibration_id: Generated<number>;
  name: string;
  calibrated_at: Date;
  due_at: Date | null;
  uncertainty_db: number | null;
  certificate: WithDefault<string>;
  entered_by: string;
  entered_at: Generated<Date>;
}

export const WINDOW_SCOPES = ['fleet', 'provider', 'site'] as const;
export type WindowScope = (typeof WINDOW_SCOPES)[number];

/** A time in which people work on the plant of a site, of all sites of a provider, or of the fleet. */
export interface MaintenanceWindowTable {
  window_id: Generated<number>;
  scope: WindowScope;
  /** Site or provider; null for the fleet. */
  scope_id: number | null;
  from_at: Date;
  to_at: Date;
  reason: string;
  /** What the work does to the readings, in a person's words. */
  effect: string;
  created_by: string;
  created_at: Generated<Date>;
  cancelled_by: string | null;
  cancelled_at: Date | null;
}

export interface VisitTable {
  site_id: number;
  visit_id: Generated<number>;
  day_id: number;
  /** Place in the day's order, from 1. */
  place: number;
  drive_minutes: number;
  arrive_at: Date;
  leave_at: Date;
  saved_outlet_days: number;
}

export interface VisitAlertTable {
  site_id: number;
  visit_id: number;
  alert_id: number;
}

export const VISIT_OUTCOMES = ['repaired', 'nothing-found', 'reported', 'not-done'] as const;
export type VisitOutcome = (typeof VISIT_OUTCOMES)[number];

/** What was found and done at a point; `result_id` comes from the device, so that sending it twice keeps one. */
export interface VisitResultTable {
  site_id: number;
  result_id: string;
  visit_id: number | null;
  alert_id: number | null;
  point_id: number;
  outcome: VisitOutcome;
  found: WithDefault<string>;
  done: WithDefault<string>;
  parts: WithDefault<string>;
  /** RF channel that the technician's own readings were taken on. */
  read_channel: WithDefault<string>;
  level_before_dbmv: number | null;
  level_after_dbmv: number | null;
  mer_before_db: number | null;
  mer_after_db: number | null;
  began_at: Date;
  done_at: Date;
  recorded_by: string;
  received_at: Date;
}

/** Somebody, or some program, that can be told; minutes count from midnight in `time_zone`. */
export interface NotifyTargetTable {
  target_id: Generated<number>;
  kind: 'person' | 'mailbox' | 'webhook';
  name: string;
  /** An account, whose own address is used. */
  person_id: string | null;
  address: string | null;
  url: string | null;
  /** The webhook's signing secret, sealed. */
  sealed: Buffer | null;
  time_zone: string;
  quiet_from_min: number | null;
  quiet_to_min: number | null;
  /** 1 for Monday to 7 for Sunday. */
  work_days: number[];
  daily: boolean;
  weekly: boolean;
  digest_min: number;
  created_by: string;
  created_at: Generated<Date>;
}

export interface NotifyRuleTable {
  rule_id: Generated<number>;
  name: string;
  about: Json<unknown>;
  delay_min: number;
  steps: Json<unknown>;
  tells_worse: boolean;
  tells_return: boolean;
  through_quiet: boolean;
  enabled: boolean;
  since: Date;
  changed_by: string;
  changed_at: Date;
}

/** From when on an alert had fewer days left than a rule asks for. */
export interface NotifyNearTable {
  rule_id: number;
  alert_id: number;
  from_at: Date;
}

/** One message to one target. */
export interface DeliveryTable {
  delivery_id: Generated<number>;
  target_id: number;
  kind: 'alerts' | 'daily' | 'weekly' | 'test';
  /** `dead`: given up, a person may send it again. `dropped`: nothing was left to tell. */
  state: 'waiting' | 'sent' | 'dead' | 'dropped';
  /** Quiet hours keep it back. */
  held: boolean;
  /** The same for every attempt, so that a receiver can drop a repeat. */
  message_key: Generated<string>;
  /** Names a message of which there may be one only, such as a day's digest. */
  once_key: string | null;
  created_at: Date;
  /** When it is next to be tried. */
  send_at: Date;
  /** A server is handing it over until then. */
  leased_until: Date | null;
  attempts: WithDefault<number>;
  tries_left: number;
  sent_to: string;
  /** What is sent, from the first attempt on. */
  content: Json<unknown> | null;
  ended_at: Date | null;
  why: WithDefault<string>;
}

/** One thing told to one target: its key keeps it from being told twice. */
export interface DeliveryItemTable {
  rule_id: number;
  change_id: number;
  target_id: number;
  step: number;
  delivery_id: number;
  alert_id: number;
  opening_id: number;
  what: 'open' | 'worse' | 'returned';
  due_at: Date;
}

export interface DeliveryAttemptTable {
  delivery_id: number;
  attempt: number;
  started_at: Date;
  /** Null while it runs, or where the server stopped before it knew. */
  ended_at: Date | null;
  outcome: 'accepted' | 'try-again' | 'refused' | null;
  detail: WithDefault<string>;
}

export const PROBE_KINDS = ['modem', 'http'] as const;
export type ProbeKindName = (typeof PROBE_KINDS)[number];

/** Each so many seconds by the site's clock, or by a cron expression in the site's zone. */
export type ProbeSchedule =
  | { readonly kind: 'every'; readonly intervalS: number }
  | { readonly kind: 'cron'; readonly expression: string };

/** An instrument that the server reads itself, and its place in the queue of what is due. */
export interface ProbeTable {
  site_id: number;
  probe_id: Generated<number>;
  point_id: number;
  name: string;
  kind: ProbeKindName;
  settings: Json<Record<string, unknown>>;
  /** Secrets, sealed; null when there are none. */
  sealed: Buffer | null;
  /** The same for probes that read the same instrument. */
  instrument_key: string;
  schedule: Json<ProbeSchedule>;
  /** Longest time between two of its readings, seconds. */
  interval_s: number;
  /** Its stable place among others, 0 up to 1. */
  place: number;
  timeout_s: number;
  /** Least rest of the instrument between two readings, seconds. */
  floor_s: number;
  enabled: WithDefault<boolean>;
  /** Next time by the schedule; null while it is paused. */
  due_at: Date | null;
  /** When a server must turn to it next. */
  wake_at: Date | null;
  /** Set while a server reads it, or has died at it. */
  claim: ColumnType<string | null, string | null | undefined, string | null>;
  claimed_by: string | null;
  /** Beginning of the run under way, its first try. */
  started_at: Date | null;
  tries: WithDefault<number>;
  /** Somebody wants a reading out of turn. */
  asked_at: Date | null;
  asked_by: string | null;
  /** Failed runs in a row. */
  failures: WithDefault<number>;
  last_run_at: Date | null;
  last_success_at: Date | null;
  last_error_code: string | null;
  last_error_text: string | null;
  last_error_action: string | null;
  created_by: string;
  created_at: Generated<Date>;
}

/** One reading of an instrument at a time, whatever the number of servers and of probes that share it. */
export interface ProbeInstrumentTable {
  instrument_key: string;
  /** Nobody may begin to read it before. */
  free_at: ColumnType<Date, Date | undefined, Date>;
}

/** `held`: a maintenance window was in force, and nothing was read. */
export type ProbeOutcome = 'read' | 'failed' | 'held';

/** One time that a probe was due or asked for, and what came of it; kept for 30 days. */
export interface ProbeRunTable {
  site_id: number;
  probe_id: number;
  run_id: Generated<number>;
  /** Null when it was only asked for. */
  due_at: Date | null;
  started_at: Date;
  ended_at: Date;
  outcome: ProbeOutcome;
  tries: number;
  asked_by: string | null;
  error_code: string | null;
  error_text: string | null;
  error_action: string | null;
  sweeps: number;
  /** What a person who asked for it is told of the reading. */
  told: string | null;
}

/** Runs by UTC day, `held` ones left out. */
export interface ProbeDayTable {
  site_id: number;
  probe_id: number;
  day: ColumnType<Date, string, string>;
  runs: number;
  failed: number;
}

/** Readings that a person is typing at a point, or has just saved. */
export interface TypedDraftTable {
  site_id: number;
  point_id: number;
  /** Account that types: its address, or the name of a token. */
  person: string;
  /** What others call the person. */
  name: string;
  /** As `TypedDraftSchema` in api/schemas has it. */
  draft: ColumnType<unknown, string, string>;
  started_at: Date;
  updated_at: Date;
  saved_at: Date | null;
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
export type ComplaintRow = Selectable<ComplaintTable>;
export type VisitDayRow = Selectable<VisitDayTable>;
export type VisitRow = Selectable<VisitTable>;
export type VisitResultRow = Selectable<VisitResultTable>;
export type AlertRow = Selectable<AlertTable>;
export type NewAlert = Insertable<AlertTable>;
export type AlertChangeRow = Selectable<AlertChangeTable>;
export type AlertWatchRow = Selectable<AlertWatchTable>;
export type NotifyTargetRow = Selectable<NotifyTargetTable>;
export type NotifyRuleRow = Selectable<NotifyRuleTable>;
export type DeliveryRow = Selectable<DeliveryTable>;
export type ProbeRow = Selectable<ProbeTable>;
export type ProbeRunRow = Selectable<ProbeRunTable>;
