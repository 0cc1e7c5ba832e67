import type { Generated } from 'kysely';
import type { AgentReport } from '../../contract/agentReport.ts';
import type { Json, WithDefault } from './column.ts';

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
