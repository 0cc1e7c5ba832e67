import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';

/** The point's sweeps are due as often as its busiest probe brings one. Paused probes leave it: their silence is real. */
export async function followSchedule(db: Db, siteId: number, pointId: number): Promise<void> {
  await sql`
    update point set interval_s = due.interval_s
    from (
      select min(interval_s) as interval_s from probe
      where site_id = ${siteId} and point_id = ${pointId} and enabled
    ) due
    where point.site_id = ${siteId} and point.point_id = ${pointId} and due.interval_s is not null`.execute(
    db,
  );
}
