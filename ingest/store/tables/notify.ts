import type { Generated, Selectable } from 'kysely';
import type { Json, WithDefault } from './column.ts';

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

export type NotifyTargetRow = Selectable<NotifyTargetTable>;
export type NotifyRuleRow = Selectable<NotifyRuleTable>;
export type DeliveryRow = Selectable<DeliveryTable>;
