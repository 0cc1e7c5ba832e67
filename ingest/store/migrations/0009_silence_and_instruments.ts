import { type Kysely, sql } from 'kysely';

/**
 * What tells a silent probe from a silent feed, and an erring meter from a changed plant: the newest report of each agent, instruments
 * with their calibrations, and the times in which people work on the plant. Windows span sites, so their table names none by a key.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table agent_report (
      site_id bigint not null references site,
      agent text not null,
      received_at timestamptz not null,
      report jsonb not null,
      primary key (site_id, agent)
    )`.execute(db);

  await sql`
    create table instrument (
      site_id bigint not null references site,
      name text not null,
      serial text not null default '',
      note text not null default '',
      calibrated_at timestamptz,
      calibration_due_at timestamptz,
      uncertainty_db real,
      created_at timestamptz not null default now(),
      primary key (site_id, name)
    )`.execute(db);
  await sql`
    create table instrument_calibration (
      site_id bigint not null,
      calibration_id bigint generated always as identity,
      name text not null,
      calibrated_at timestamptz not null,
      due_at timestamptz,
      uncertainty_db real,
      certificate text not null default '',
      entered_by text not null,
      entered_at timestamptz not null default now(),
      primary key (site_id, calibration_id),
      foreign key (site_id, name) references instrument (site_id, name) on delete cascade,
      constraint instrument_calibration_once unique (site_id, name, calibrated_at),
      constraint instrument_calibration_due_later check (due_at is null or due_at > calibrated_at)
    )`.execute(db);
  await sql`
    insert into instrument (site_id, name)
    select distinct site_id, instrument from sweep`.execute(db);

  await sql`
    create table maintenance_window (
      window_id bigint generated always as identity primary key,
      scope text not null constraint maintenance_window_scope_known check (scope in ('fleet', 'provider', 'site')),
      scope_id bigint,
      from_at timestamptz not null,
      to_at timestamptz not null,
      reason text not null,
      effect text not null,
      created_by text not null,
      created_at timestamptz not null default now(),
      cancelled_by text,
      cancelled_at timestamptz,
      constraint maintenance_window_scope_named check ((scope = 'fleet') = (scope_id is null)),
      constraint maintenance_window_forward check (to_at > from_at)
    )`.execute(db);
  await sql`create index maintenance_window_by_scope on maintenance_window (scope, scope_id, to_at)`.execute(
    db,
  );
}
