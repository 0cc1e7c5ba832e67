import { type Kysely, sql } from 'kysely';

/**
 * What people in a building said, and what technicians went to do and found. A day of visits spans sites and is a small table of
 * its own; all else begins with `site_id`. Points are named without a foreign key: one may be taken down later, and what was said
 * of it stays.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table complaint (
      site_id bigint not null references site,
      complaint_id bigint generated always as identity,
      seen_at timestamptz not null,
      point_id bigint,
      outlet text not null default '',
      symptom text not null,
      viewer_channel text not null default '',
      rf_channel text,
      note text not null default '',
      logged_by text not null,
      logged_at timestamptz not null,
      withdrawn_by text,
      withdrawn_at timestamptz,
      primary key (site_id, complaint_id)
    )`.execute(db);
  await sql`create index complaint_seen on complaint (seen_at desc) where withdrawn_at is null`.execute(db);

  await sql`
    create table visit_day (
      day_id bigint generated always as identity primary key,
      technician text not null,
      start_name text not null,
      start_latitude double precision,
      start_longitude double precision,
      time_zone text not null,
      from_at timestamptz not null,
      to_at timestamptz not null,
      back_minutes double precision not null,
      created_by text not null,
      created_at timestamptz not null,
      cancelled_by text,
      cancelled_at timestamptz
    )`.execute(db);

  await sql`
    create table visit (
      site_id bigint not null references site,
      visit_id bigint generated always as identity,
      day_id bigint not null,
      place integer not null,
      drive_minutes double precision not null,
      arrive_at timestamptz not null,
      leave_at timestamptz not null,
      saved_outlet_days double precision not null,
      primary key (site_id, visit_id)
    )`.execute(db);
  await sql`create index visit_of_day on visit (day_id, place)`.execute(db);

  await sql`
    create table visit_alert (
      site_id bigint not null,
      visit_id bigint not null,
      alert_id bigint not null,
      primary key (site_id, visit_id, alert_id),
      foreign key (site_id, visit_id) references visit (site_id, visit_id)
    )`.execute(db);

  await sql`
    create table visit_result (
      site_id bigint not null references site,
      result_id uuid not null,
      visit_id bigint,
      alert_id bigint,
      point_id bigint not null,
      outcome text not null,
      found text not null default '',
      done text not null default '',
      parts text not null default '',
      read_channel text not null default '',
      level_before_dbmv double precision,
      level_after_dbmv double precision,
      mer_before_db double precision,
      mer_after_db double precision,
      began_at timestamptz not null,
      done_at timestamptz not null,
      recorded_by text not null,
      received_at timestamptz not null,
      primary key (site_id, result_id)
    )`.execute(db);
  await sql`create index visit_result_newest on visit_result (done_at desc)`.execute(db);
}
