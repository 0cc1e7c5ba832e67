import type { Db } from '../../ingest/store/database.ts';
import { dropMonth, monthsBefore, type SweepMonth } from '../../ingest/store/partitions.ts';
import { readSweeps } from '../../ingest/store/readSweeps.ts';
import { daySummary } from './daySummary.ts';

const DAY_MS = 86_400_000;

/**
 * Lets go of the sweeps of whole months that end at or before `beforeMs`: each day of each point becomes one row of medians, then the
 * month is dropped. Started again after a crash it goes on where it was.
 *
 * @returns names of the months dropped
 */
export async function letSweepsGo(db: Db, beforeMs: number, signal?: AbortSignal): Promise<string[]> {
  const dropped: string[] = [];
  for (const month of await monthsBefore(db, beforeMs)) {
    const points = await db
      .selectFrom('point')
      .select(['site_id', 'point_id'])
      .orderBy('site_id')
      .orderBy('point_id')
      .execute();
    for (const { site_id, point_id } of points) {
      signal?.throwIfAborted();
      await summarise(db, site_id, point_id, month);
    }
    await dropMonth(db, month);
    dropped.push(month.name);
  }
  return dropped;
}

async function summarise(db: Db, siteId: number, pointId: number, month: SweepMonth): Promise<void> {
  const sweeps = await readSweeps(db, siteId, pointId, month.fromMs, month.toMs);
  const days = Map.groupBy(sweeps, ({ atMs }) => Math.floor(atMs / DAY_MS) * DAY_MS);
  for (const [dayMs, ofDay] of days) {
    const row = daySummary(ofDay);
    await db
      .insertInto('daily_median')
      .values({ site_id: siteId, point_id: pointId, day: new Date(dayMs), ...row })
      .onConflict((conflict) =>
        conflict
          .columns(['site_id', 'point_id', 'day'])
          .doUpdateSet(row)
          .where('daily_median.sweeps', '<=', row.sweeps),
      )
      .execute();
  }
}
