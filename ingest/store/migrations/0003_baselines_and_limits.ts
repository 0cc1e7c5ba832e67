import { type Kysely, sql } from 'kysely';

/** A baseline is never overwritten: a new version takes over from its `effective_from`. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table baseline (
      site_id bigint not null,
      point_id bigint not null,
      version integer not null,
      effective_from timestamptz not null,
      from_at timestamptz not null,
      to_at timestamptz not null,
      sweeps integer not null,
      instruments text[] not null,
      freq_hz integer[] not null,
      level_cdbmv smallint[] not null,
      level_spread_cdb smallint[] not null,
      mer_cdb smallint[],
      mer_spread_cdb smallint[],
      cnr_cdb smallint[],
      level_dbmv double precision not null,
      tilt_db double precision not null,
      flatness_db double precision not null,
      worst_mer_margin_db double precision,
      ambient_c double precision,
      outside jsonb not null default '[]',
      exception_note text,
      accepted_by text not null,
      accepted_at timestamptz not null,
      primary key (site_id, point_id, version),
      foreign key (site_id, point_id) references point (site_id, point_id),
      constraint baseline_exception_noted check (outside = '[]'::jsonb or exception_note is not null)
    )`.execute(db);

  await sql`
    create table fleet_limit_choice (
      choice_id bigint generated always as identity primary key,
      kind text not null,
      set_id text not null,
      changes jsonb not null default '[]',
      reason text not null,
      chosen_by text not null,
      chosen_at timestamptz not null default now()
    )`.execute(db);

  await sql`
    create table site_limit_choice (
      site_id bigint not null references site,
      choice_id bigint generated always as identity,
      kind text,
      point_id bigint,
      set_id text not null,
      changes jsonb not null default '[]',
      reason text not null,
      chosen_by text not null,
      chosen_at timestamptz not null default now(),
      primary key (site_id, choice_id),
      foreign key (site_id, point_id) references point (site_id, point_id),
      constraint site_limit_choice_one_scope check ((kind is null) <> (point_id is null))
    )`.execute(db);
}
