import { type Kysely, sql } from 'kysely';

/**
 * Instruments that the server reads itself. A probe's row is its own place in the queue: `due_at` is when its schedule has it read,
 * `wake_at` when a server must turn to it next: then, or sooner when somebody asks, or later after a failed try, or, while it is being
 * read, once the server that reads it must be taken for dead. `probe_instrument` and the queue span sites: two sites may share a meter.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table probe (
      site_id bigint not null references site,
      probe_id bigint generated always as identity,
      point_id bigint not null,
      name text not null,
      kind text not null constraint probe_kind_known check (kind in ('modem', 'http')),
      settings jsonb not null,
      sealed bytea,
      instrument_key text not null,
      schedule jsonb not null,
      interval_s integer not null constraint probe_interval_positive check (interval_s > 0),
      place double precision not null constraint probe_place_within_one check (place >= 0 and place < 1),
      timeout_s integer not null constraint probe_timeout_positive check (timeout_s > 0),
      floor_s integer not null constraint probe_floor_not_negative check (floor_s >= 0),
      enabled boolean not null default true,
      due_at timestamptz,
      wake_at timestamptz,
      claim uuid,
      claimed_by text,
      started_at timestamptz,
      tries integer not null default 0,
      asked_at timestamptz,
      asked_by text,
      failures integer not null default 0,
      last_run_at timestamptz,
      last_success_at timestamptz,
      last_error_code text,
      last_error_text text,
      last_error_action text,
      created_by text not null,
      created_at timestamptz not null default now(),
      primary key (site_id, probe_id),
      constraint probe_name_unique unique (site_id, name),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);
  await sql`create index probe_wake on probe (wake_at)`.execute(db);
  await sql`create index probe_of_point on probe (site_id, point_id)`.execute(db);

  await sql`
    create table probe_instrument (
      instrument_key text primary key,
      free_at timestamptz not null default '-infinity'
    )`.execute(db);

  await sql`
    create table probe_run (
      site_id bigint not null,
      probe_id bigint not null,
      run_id bigint generated always as identity,
      due_at timestamptz,
      started_at timestamptz not null,
      ended_at timestamptz not null,
      outcome text not null constraint probe_run_outcome_known check (outcome in ('read', 'failed', 'held')),
      tries integer not null,
      asked_by text,
      error_code text,
      error_text text,
      error_action text,
      sweeps integer not null,
      told text,
      primary key (site_id, probe_id, run_id)
    )`.execute(db);
  await sql`create index probe_run_ended on probe_run using brin (ended_at)`.execute(db);

  await sql`
    create table probe_day (
      site_id bigint not null,
      probe_id bigint not null,
      day date not null,
      runs integer not null,
      failed integer not null,
      primary key (site_id, probe_id, day)
    )`.execute(db);
}
