import type { Generated, Selectable } from 'kysely';
import type { WithDefault } from './column.ts';

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

export type ComplaintRow = Selectable<ComplaintTable>;
export type VisitDayRow = Selectable<VisitDayTable>;
export type VisitRow = Selectable<VisitTable>;
export type VisitResultRow = Selectable<VisitResultTable>;
