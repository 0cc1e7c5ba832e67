import type { Db } from './database.ts';

/**
 * Makes the engine look again at `pointIds` of one site from `fromMs` (event time) on. Everything that changes what
 * the engine would say calls this in its own transaction: a baseline, a plan version, a choice of limits.
 */
export async function announceChange(
  db: Db,
  siteId: number,
  pointIds: readonly number[],
  fromMs: number,
): Promise<void> {
  if (pointIds.length === 0) return;
  await db
    .insertInto('arrival')
    .values(pointIds.map((pointId) => ({ site_id: siteId, point_id: pointId, first_at: new Date(fromMs) })))
    .execute();
}
