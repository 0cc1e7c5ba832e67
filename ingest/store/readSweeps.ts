import type { Sweep } from '../sweep.ts';
import type { Db } from './database.ts';
import { sweepFromRow } from './sweepFromRow.ts';

/** The sweeps of one point with `fromMs <= at < toMs`, in event time, then by instrument. */
export async function readSweeps(
  db: Db,
  siteId: number,
  pointId: number,
  fromMs: number,
  toMs: number,
): Promise<Sweep[]> {
  const rows = await db
    .selectFrom('sweep')
    .innerJoin('grid', (join) =>
      join.onRef('grid.site_id', '=', 'sweep.site_id').onRef('grid.grid_id', '=', 'sweep.grid_id'),
    )
    .selectAll('sweep')
    .select('grid.freq_hz')
    .where('sweep.site_id', '=', siteId)
    .where('sweep.point_id', '=', pointId)
    .where('sweep.at', '>=', new Date(fromMs))
    .where('sweep.at', '<', new Date(toMs))
    .orderBy('sweep.at')
    .orderBy('sweep.instrument')
    .execute();
  return rows.map(sweepFromRow);
}
