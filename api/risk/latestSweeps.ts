import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { SweepRow } from '../../ingest/store/schema.ts';
import { sweepFromRow } from '../../ingest/store/sweepFromRow.ts';
import type { Sweep } from '../../ingest/sweep.ts';

/** An odd number, so that a single wild sweep never makes the median. */
const NEWEST = 3;

/** The newest few sweeps of every point of a site, newest first, by point. */
export async function latestSweeps(db: Db, siteId: number): Promise<Map<number, Sweep[]>> {
  const { rows } = await sql<SweepRow & { freq_hz: number[] }>`
    select newest.*, grid.freq_hz
    from point
    cross join lateral (
      select * from sweep
      where sweep.site_id = point.site_id and sweep.point_id = point.point_id
      order by at desc, instrument
      limit ${NEWEST}
    ) as newest
    join grid on grid.site_id = newest.site_id and grid.grid_id = newest.grid_id
    where point.site_id = ${siteId}
    order by newest.point_id, newest.at desc, newest.instrument`.execute(db);

  const byPoint = new Map<number, Sweep[]>();
  for (const row of rows) {
    const sweeps = byPoint.get(row.point_id) ?? [];
    sweeps.push(sweepFromRow(row));
    byPoint.set(row.point_id, sweeps);
  }
  return byPoint;
}
