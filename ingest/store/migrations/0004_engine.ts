import { type Kysely, sql } from 'kysely';

/**
 * What the engine keeps: one state row a point, checkpoints to replay from when a late sweep comes in,
 * hourly summaries for the charts, findings, and one ranked row a site.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table point_state (
      site_id bigint not null,
      point_id bigint not null,
      last_at timestamptz,
      state jsonb,
      latest jsonb,
      updated_at timestamptz not null default now(),
      primary key (site_id, point_id),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);

  await sql`
    create table checkpoint (
      site_id bigint not null,
      point_id bigint not null,
      at timestamptz not null,
      state jsonb not null,
      primary key (site_id, point_id, at),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);

  await sql`
    create table hourly (
      site_id bigint not null,
      point_id bigint not null,
      hour timestamptz not null,
      sweeps smallint not null,
      level_dbmv real,
      level_dev_db real,
      tilt_db real,
      tilt_dev_db real,
      flatness_db real,
      mer_margin_db real,
      ambient_c real,
      primary key (site_id, point_id, hour),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);

  await sql`
    create table finding (
      site_id bigint not null,
      point_id bigint not null,
      kind text not null,
      metric text not null,
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
      evidence jsonb not null default '{}',
      primary key (site_id, point_id, kind, metric, detected_at),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);
  await sql`create index finding_open on finding (site_id) where closed_at is null`.execute(db);

  await sql`
    create table site_risk (
      site_id bigint primary key references site,
      outlet_days double precision not null,
      sentence text not null,
      verdict text not null,
      side text,
      since timestamptz,
      days_to_limit double precision,
      last_sweep_at timestamptz,
      strip smallint[] not null,
      parts jsonb not null default '{}',
      computed_at timestamptz not null
    )`.execute(db);
  await sql`create index site_risk_rank on site_risk (outlet_days desc, site_id)`.execute(db);
}
