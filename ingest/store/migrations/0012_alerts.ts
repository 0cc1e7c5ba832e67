import { type Kysely, sql } from 'kysely';

/**
 * What people are told: one alert a cause, at one site or over many sites of a provider, with every change kept. An alert may span
 * sites, so none of these tables is keyed by site.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table alert (
      alert_id bigint generated always as identity primary key,
      kind text not null,
      site_id bigint,
      provider_id bigint,
      cause_key text not null,
      severity text not null,
      state text not null,
      title text not null,
      sentence text not null,
      side text,
      cause text,
      do_first text not null,
      onset_at timestamptz not null,
      raised_at timestamptz not null,
      returned_at timestamptz,
      closed_at timestamptz,
      limit_days_10 double precision,
      limit_days_50 double precision,
      limit_days_90 double precision,
      outlets integer not null,
      sites integer not null,
      priority double precision not null,
      shelved_until timestamptz,
      acknowledged_by text,
      acknowledged_at timestamptz,
      hop_to bigint,
      onset_low_at timestamptz not null,
      onset_high_at timestamptz not null,
      gone_at timestamptz,
      calmer_since timestamptz,
      part_of bigint references alert
    )`.execute(db);
  await sql`create index alert_open on alert (priority desc, alert_id) where closed_at is null`.execute(db);
  await sql`create index alert_of_site on alert (site_id, raised_at)`.execute(db);
  await sql`create index alert_of_provider on alert (provider_id, raised_at)`.execute(db);
  await sql`create index alert_parts on alert (part_of) where part_of is not null`.execute(db);

  await sql`
    create table alert_change (
      change_id bigint generated always as identity primary key,
      alert_id bigint not null references alert,
      at timestamptz not null,
      kind text not null,
      by_whom text not null,
      why text not null,
      before jsonb,
      after jsonb
    )`.execute(db);
  await sql`create index alert_change_of on alert_change (alert_id, change_id)`.execute(db);

  await sql`
    create table alert_finding (
      alert_id bigint not null references alert,
      site_id bigint not null,
      event integer not null,
      point_id bigint not null,
      primary key (alert_id, site_id, event, point_id)
    )`.execute(db);
  await sql`create index alert_finding_of_site on alert_finding (site_id)`.execute(db);

  await sql`
    create table alert_watch (
      site_id bigint primary key,
      provider_id bigint,
      fingerprint text not null,
      due_at timestamptz,
      shared jsonb not null default '[]'
    )`.execute(db);
  await sql`create index alert_watch_shared on alert_watch (provider_id) where shared <> '[]'`.execute(db);
  await sql`create index alert_watch_due on alert_watch (due_at) where due_at is not null`.execute(db);
}
