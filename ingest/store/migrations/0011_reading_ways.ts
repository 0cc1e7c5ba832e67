import { type Kysely, sql } from 'kysely';

/** How a point's readings come is decided while a site is set up, so that its agent's config can be written for it. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table reading_way (
      site_id bigint not null,
      point_id bigint not null,
      way jsonb not null,
      chosen_by text not null,
      chosen_at timestamptz not null,
      primary key (site_id, point_id),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);
}
