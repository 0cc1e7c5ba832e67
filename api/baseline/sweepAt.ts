import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { SweepRow } from '../../ingest/store/schema.ts';
import { sweepFromRow } from '../../ingest/store/sweepFromRow.ts';
import type { Sweep } from '../../ingest/sweep.ts';

/** The newest sweep of a point at or before a moment; null when there is none. */
export async function sweepAt(db: Db, siteId: number, pointId: number, atMs: number): Promise<Sweep | null> {
  const { rows } = await sql<SweepRow & { freq_hz: number[] }>`
    select newest.*, grid.freq_hz
    from (
      select * from sweep
      where site_id = ${siteId} and point_id = ${pointId} and at <= ${new Date(atMs)}
      order by at desc, instrument
      limit 1
    ) as newest
    join grid on grid.site_id = newest.site_id and grid.grid_id = newest.grid_id`.execute(db);
  return rows[0] === undefined ? null : sweepFromRow(rows[0]);
}
