import type { Db } from '../../ingest/store/database.ts';
import { NotFound } from '../errors.ts';
import { type ReadingWay, ReadingWaySchema } from '../schemas/readingWays.ts';

/** How the readings of each point of a site come, by point; a point nobody decided about is absent. */
export async function listReadingWays(db: Db, siteId: number): Promise<Map<number, ReadingWay>> {
  const rows = await db
    .selectFrom('reading_way')
    .select(['point_id', 'way'])
    .where('site_id', '=', siteId)
    .execute();
  return new Map(rows.map(({ point_id, way }) => [point_id, ReadingWaySchema.parse(way)]));
}

/** Keeps how a point's readings come, in place of what was decided before. */
export async function chooseReadingWay(
  db: Db,
  siteId: number,
  pointId: number,
  way: ReadingWay,
  by: { readonly name: string; readonly nowMs: number },
): Promise<void> {
  const point = await db
    .selectFrom('point')
    .select('point_id')
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .executeTakeFirst();
  if (!point) throw new NotFound('point', pointId);
  const row = { way: JSON.stringify(way), chosen_by: by.name, chosen_at: new Date(by.nowMs) };
  await db
    .insertInto('reading_way')
    .values({ site_id: siteId, point_id: pointId, ...row })
    .onConflict((conflict) => conflict.columns(['site_id', 'point_id']).doUpdateSet(row))
    .execute();
}
