import type { AlertChangeTable, AlertFindingTable, AlertTable, AlertWatchTable } from './tables/alerts.ts';
import type { AuditTable } from './tables/audit.ts';
import type { BaselineTable, FleetLimitChoiceTable, SiteLimitChoiceTable } from './tables/baselines.ts';
import type {
  CheckpointTable,
  FindingTable,
  HourlyTable,
  PointStateTable,
  SiteRiskTable,
  SiteStateTable,
} from './tables/engine.ts';
import type {
  DeliveryAttemptTable,
  DeliveryItemTable,
  DeliveryTable,
  NotifyNearTable,
  NotifyRuleTable,
  NotifyTargetTable,
} from './tables/notify.ts';
import type { ProbeDayTable, ProbeInstrumentTable, ProbeRunTable, ProbeTable } from './tables/probes.ts';
import type {
  ChannelPlanTable,
  ChannelPlanVersionTable,
  PlannedChannelTable,
  PointTable,
  ProviderTable,
  ReadingWayTable,
  SiteKeyTable,
  SiteTable,
} from './tables/sites.ts';
import type {
  ArrivalTable,
  DailyMedianTable,
  GridTable,
  RejectedSweepTable,
  SweepTable,
  TypedDraftTable,
} from './tables/sweeps.ts';
import type {
  AgentReportTable,
  InstrumentCalibrationTable,
  InstrumentTable,
  MaintenanceWindowTable,
} from './tables/upkeep.ts';
import type {
  ComplaintTable,
  VisitAlertTable,
  VisitDayTable,
  VisitResultTable,
  VisitTable,
} from './tables/visits.ts';

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

export * from './tables/alerts.ts';
export * from './tables/audit.ts';
export * from './tables/baselines.ts';
export * from './tables/engine.ts';
export * from './tables/notify.ts';
export * from './tables/probes.ts';
export * from './tables/sites.ts';
export * from './tables/sweeps.ts';
export * from './tables/upkeep.ts';
export * from './tables/visits.ts';
