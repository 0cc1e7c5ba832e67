import { type Kysely, sql } from 'kysely';

/**
 * A sweep is one row of small arrays: hundredths of a dB as `smallint[]`, parallel to its grid's frequencies.
 * The grid is stored once for the many sweeps that share it. `arrival` tells the engine which stretch of a
 * point's time has news; the engine deletes what it has taken in.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table grid (
      site_id bigint not null references site,
      grid_id bigint generated always as identity,
      freq_hz integer[] not null,
      primary key (site_id, grid_id),
      constraint grid_freq_unique unique (site_id, freq_hz)
    )`.execute(db);

  await sql`
    create table sweep (
      site_id bigint not null,
      point_id bigint not null,
      at timestamptz not null,
      instrument text not null,
      received_at timestamptz not null,
      grid_id bigint not null,
      level_cdbmv smallint[] not null,
      mer_cdb smallint[],
      cnr_cdb smallint[],
      ber_pre real[],
      ber_post real[],
      lost_hz integer[],
      ambient_cc smallint,
      primary key (site_id, point_id, at, instrument),
      foreign key (site_id, point_id) references point (site_id, point_id),
      foreign key (site_id, grid_id) references grid (site_id, grid_id)
    ) partition by range (at)`.execute(db);

  await sql`
    create table arrival (
      site_id bigint not null,
      arrival_id bigint generated always as identity,
      point_id bigint not null,
      first_at timestamptz not null,
      primary key (site_id, arrival_id),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);
  await sql`create index arrival_by_point on arrival (site_id, point_id)`.execute(db);

  await sql`
    create table rejected_sweep (
      site_id bigint not null references site,
      rejection_id bigint generated always as identity,
      received_at timestamptz not null,
      point text,
      at text,
      path text not null,
      reason text not null,
      primary key (site_id, rejection_id)
    )`.execute(db);
}
