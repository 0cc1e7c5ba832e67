import type { Db } from '../../ingest/store/database.ts';
import { demoPlans, FIRST_VERSION_DAYS_AGO } from '../fleet/plans.ts';
import { DAY_MS } from './pacing.ts';

/**
 * When the demo in this database was first made; `nowMs` where there is none yet. The plans' first versions are
 * the first thing entered and carry it, so every later start plants the same stories at the same dates.
 */
export async function originOf(db: Db, nowMs: number): Promise<number> {
  const version = await db
    .selectFrom('channel_plan_version')
    .innerJoin('channel_plan', 'channel_plan.plan_id', 'channel_plan_version.plan_id')
    .select('effective_from')
    .where('name', '=', demoPlans(nowMs).brindlewick.name)
    .where('version', '=', 1)
    .executeTakeFirst();
  return version ? version.effective_from.getTime() + FIRST_VERSION_DAYS_AGO * DAY_MS : nowMs;
}
