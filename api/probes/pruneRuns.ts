import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { JobQueue } from '../jobs/jobQueue.ts';

const KEPT_DAYS = 30;
const ROWS_AT_ONCE = 20_000;
const DAY_MS = 86_400_000;

/** Runs older than 30 days go, day by day; so do their counts. */
export const pruneProbeRuns: JobQueue = {
  name: 'prune-probe-runs',
  cron: '20 3 * * *',
  options: { retryLimit: 3, expireInSeconds: 3600 },
  handle: async ({ db, now }, _, signal) => {
    await pruneRuns(db, now() - KEPT_DAYS * DAY_MS, signal);
  },
};

/** Removes what ended before `beforeMs`, some thousands of rows a statement so that nobody waits for it. Answers how many runs went. */
export async function pruneRuns(db: Db, beforeMs: number, signal: AbortSignal): Promise<number> {
  const before = new Date(beforeMs);
  let removed = 0;
  for (;;) {
    signal.throwIfAborted();
    const { numAffectedRows } = await sql`
      delete from probe_run where ctid = any(array(
        select ctid from probe_run where ended_at < ${before} limit ${ROWS_AT_ONCE}))`.execute(db);
    removed += Number(numAffectedRows);
    if (Number(numAffectedRows) < ROWS_AT_ONCE) break;
  }
  await db.deleteFrom('probe_day').where('day', '<', sql<Date>`${before}::date`).execute();
  return removed;
}
