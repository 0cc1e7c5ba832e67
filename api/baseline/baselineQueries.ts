import type { Db } from '../../ingest/store/database.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';

/** Every version of a point, newest first. */
export function baselineVersions(db: Db, siteId: number, pointId: number): Promise<BaselineRow[]> {
  return db
    .selectFrom('baseline')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .orderBy('version', 'desc')
    .execute();
}

/** The version that sweeps of a moment are judged against; null before the first takes effect. */
export async function baselineInForce(
  db: Db,
  siteId: number,
  pointId: number,
  atMs: number,
): Promise<BaselineRow | null> {
  const row = await db
    .selectFrom('baseline')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .where('effective_from', '<=', new Date(atMs))
    .orderBy('effective_from', 'desc')
    .orderBy('version', 'desc')
    .limit(1)
    .executeTakeFirst();
  return row ?? null;
}
