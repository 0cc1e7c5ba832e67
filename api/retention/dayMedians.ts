import type { Db } from '../../ingest/store/database.ts';
import { sweepFromRow } from '../../ingest/store/sweepFromRow.ts';
import type { Sweep } from '../../ingest/sweep.ts';

/** Medians of a day, in the form of a sweep at the day's first moment. */
export interface DayMedians extends Sweep {
  readonly medianOf: number;
}

/** The newest day, at or before a moment, of which only medians are left; null when there is none. */
export async function dayMedians(
  db: Db,
  siteId: number,
  pointId: number,
  atMs: number,
): Promise<DayMedians | null> {
  const row = await db
    .selectFrom('daily_median')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .where('day', '<=', new Date(atMs))
    .orderBy('day', 'desc')
    .limit(1)
    .executeTakeFirst();
  if (row === undefined) return null;
  const { day, instruments, sweeps } = row;
  const sweep = sweepFromRow({
    ...row,
    at: day,
    instrument: instruments.join(', '),
    ber_pre: null,
    ber_post: null,
  });
  return { ...sweep, medianOf: sweeps };
}
