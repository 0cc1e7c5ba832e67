import { type Kysely, sql } from 'kysely';

/**
 * Who is told about which alerts, and every message with every attempt to hand it over. One row of `delivery_item` is one thing told
 * to one target: its key keeps it from being told twice. History outlives rules and targets, so it refers to them by number only.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table notify_target (
      target_id bigint generated always as identity primary key,
      kind text not null constraint notify_target_kind_known check (kind in ('person', 'mailbox', 'webhook')),
      name text not null,
      person_id text constraint notify_target_person_unique unique references person on delete cascade,
      address text,
      url text,
      sealed bytea,
      time_zone text not null,
      quiet_from_min integer,
      quiet_to_min integer,
      work_days integer[] not null,
      daily boolean not null,
      weekly boolean not null,
      digest_min integer not null,
      created_by text not null,
      created_at timestamptz not null default now(),
      constraint notify_target_reachable check (
        (kind = 'person') = (person_id is not null)
        and (kind = 'mailbox') = (address is not null)
        and (kind = 'webhook') = (url is not null and sealed is not null)),
      constraint notify_target_quiet_whole check ((quiet_from_min is null) = (quiet_to_min is null))
    )`.execute(db);

  await sql`
    create table notify_rule (
      rule_id bigint generated always as identity primary key,
      name text not null,
      about jsonb not null,
      delay_min integer not null,
      steps jsonb not null,
      tells_worse boolean not null,
      tells_return boolean not null,
      through_quiet boolean not null,
      enabled boolean not null,
      since timestamptz not null,
      changed_by text not null,
      changed_at timestamptz not null
    )`.execute(db);

  await sql`
    create table notify_near (
      rule_id bigint not null references notify_rule on delete cascade,
      alert_id bigint not null references alert,
      from_at timestamptz not null,
      primary key (rule_id, alert_id)
    )`.execute(db);

  await sql`
    create table delivery (
      delivery_id bigint generated always as identity primary key,
      target_id bigint not null,
      kind text not null constraint delivery_kind_known check (kind in ('alerts', 'daily', 'weekly', 'test')),
      state text not null constraint delivery_state_known check (state in ('waiting', 'sent', 'dead', 'dropped')),
      held boolean not null,
      message_key uuid not null default gen_random_uuid(),
      once_key text constraint delivery_once unique,
      created_at timestamptz not null,
      send_at timestamptz not null,
      leased_until timestamptz,
      attempts integer not null default 0,
      tries_left integer not null,
      sent_to text not null,
      content jsonb,
      ended_at timestamptz,
      why text not null default ''
    )`.execute(db);
  await sql`create index delivery_waiting on delivery (send_at) where state = 'waiting'`.execute(db);

  await sql`
    create table delivery_item (
      rule_id bigint not null,
      change_id bigint not null,
      target_id bigint not null,
      step integer not null,
      delivery_id bigint not null references delivery on delete cascade,
      alert_id bigint not null,
      opening_id bigint not null,
      what text not null constraint delivery_item_what_known check (what in ('open', 'worse', 'returned')),
      due_at timestamptz not null,
      primary key (rule_id, change_id, target_id, step)
    )`.execute(db);
  await sql`create index delivery_item_of on delivery_item (delivery_id)`.execute(db);
  await sql`create index delivery_item_alert on delivery_item (alert_id)`.execute(db);

  await sql`
    create table delivery_attempt (
      delivery_id bigint not null references delivery on delete cascade,
      attempt integer not null,
      started_at timestamptz not null,
      ended_at timestamptz,
      outcome text constraint delivery_attempt_outcome_known check (outcome in ('accepted', 'try-again', 'refused')),
      detail text not null default '',
      primary key (delivery_id, attempt)
    )`.execute(db);
}
