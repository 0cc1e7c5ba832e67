import { type Kysely, sql } from 'kysely';

/** Who changed what: one row a change, in the transaction of the change. Rows are added and never changed. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table audit (
      audit_id bigint generated always as identity primary key,
      at timestamptz not null,
      by_whom text not null,
      via text not null,
      action text not null,
      subject_kind text not null,
      subject_id text not null,
      site_id bigint,
      before jsonb,
      after jsonb
    )`.execute(db);
  await sql`create index audit_site_id_idx on audit (site_id, audit_id) where site_id is not null`.execute(
    db,
  );
  await sql`create index audit_at_idx on audit (at)`.execute(db);
}
