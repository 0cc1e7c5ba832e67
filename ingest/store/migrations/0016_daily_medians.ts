import { type Kysely, sql } from 'kysely';

/** What is left of sweeps that were let go: medians of each channel over each day, UTC, so that then and now can be held beside each other for years. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table daily_median (
      site_id bigint not null,
      point_id bigint not null,
      day timestamptz not null,
      sweeps integer not null,
      instruments text[] not null,
      freq_hz integer[] not null,
      level_cdbmv smallint[] not null,
      mer_cdb smallint[],
      cnr_cdb smallint[],
      lost_hz integer[] not null,
      ambient_cc smallint,
      primary key (site_id, point_id, day),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);
}
