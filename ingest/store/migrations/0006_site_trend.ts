import { type Kysely, sql } from 'kysely';

/**
 * The engine judges a site as a whole: findings carry their place, what the points of a site share has a row of its own, and a
 * checkpoint holds all of a site. What was concluded point by point goes, and every point is looked at again from its first sweep on.
 * States are `json`: nobody searches in them, and writing one costs less than half of `jsonb` (14 kB: 320 µs and 4.7 kB stored
 * against 710 µs and 8.5 kB).
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`drop table finding`.execute(db);
  await sql`
    create table finding (
      site_id bigint not null,
      event integer not null,
      point_id bigint not null,
      kind text not null,
      metric text not null,
      shape text,
      detected_at timestamptz not null,
      onset_at timestamptz not null,
      onset_low_at timestamptz not null,
      onset_high_at timestamptz not null,
      size_db double precision not null,
      size_low_db double precision not null,
      size_high_db double precision not null,
      slope_db_per_day double precision,
      slope_low_db_per_day double precision,
      slope_high_db_per_day double precision,
      limit_days_10 double precision,
      limit_days_50 double precision,
      limit_days_90 double precision,
      limit_name text,
      closed_at timestamptz,
      side text not null,
      hop_from bigint,
      hop_to bigint not null,
      also_possible bigint[] not null default '{}',
      explained_by bigint,
      evidence jsonb not null default '{}',
      told_at timestamptz not null,
      primary key (site_id, event, point_id),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);
  await sql`create index finding_open on finding (site_id) where closed_at is null`.execute(db);

  await sql`
    create table site_state (
      site_id bigint primary key references site,
      last_at timestamptz,
      state json
    )`.execute(db);
  await sql`alter table point_state drop column updated_at, drop column state, add column state json`.execute(
    db,
  );
  await sql`update point_state set last_at = null`.execute(db);

  await sql`drop table checkpoint`.execute(db);
  await sql`
    create table checkpoint (
      site_id bigint not null references site,
      at timestamptz not null,
      state json not null,
      primary key (site_id, at)
    )`.execute(db);

  await sql`drop index arrival_by_point`.execute(db);
  await sql`
    insert into arrival (site_id, point_id, first_at)
    select point.site_id, point.point_id, first.at
    from point
    cross join lateral (
      select at from sweep
      where sweep.site_id = point.site_id and sweep.point_id = point.point_id
      order by at limit 1
    ) first
    order by point.site_id, point.point_id`.execute(db);
}
