import type { Generated, Insertable, Selectable } from 'kysely';
import type { Json, JsonWithDefault } from './column.ts';

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

export type AlertRow = Selectable<AlertTable>;
export type NewAlert = Insertable<AlertTable>;
export type AlertChangeRow = Selectable<AlertChangeTable>;
export type AlertWatchRow = Selectable<AlertWatchTable>;
