import type { Db } from '../../ingest/store/database.ts';
import { NotFound } from '../errors.ts';

/** Whose day it is, when, and its sites in order. Throws NotFound. */
export async function findDay(db: Db, dayId: number) {
  const day = await db.selectFrom('visit_day').selectAll().where('day_id', '=', dayId).executeTakeFirst();
  if (day === undefined) throw new NotFound('day', dayId);
  const visits = await db
    .selectFrom('visit')
    .select('site_id')
    .where('day_id', '=', dayId)
    .orderBy('place')
    .execute();
  return {
    technician: day.technician,
    startName: day.start_name,
    from: day.from_at.toISOString(),
    to: day.to_at.toISOString(),
    timeZone: day.time_zone,
    siteIds: visits.map(({ site_id }) => site_id),
    cancelledBy: day.cancelled_by,
  };
}
