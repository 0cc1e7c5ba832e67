import { type Kysely, sql } from 'kysely';

/**
 * Readings as a person types them, before they are saved as a sweep: one draft a person and point, so that a helper elsewhere sees it
 * through whichever server. Every change writes it anew, so it is kept apart from everything else and soon forgotten.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table typed_draft (
      site_id bigint not null,
      point_id bigint not null,
      person text not null,
      name text not null,
      draft jsonb not null,
      started_at timestamptz not null,
      updated_at timestamptz not null,
      saved_at timestamptz,
      primary key (site_id, point_id, person),
      foreign key (site_id, point_id) references point (site_id, point_id)
    )`.execute(db);
}
