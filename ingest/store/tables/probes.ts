import type { ColumnType, Generated, Selectable } from 'kysely';
import type { Json, WithDefault } from './column.ts';

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

export type ProbeRow = Selectable<ProbeTable>;
export type ProbeRunRow = Selectable<ProbeRunTable>;
