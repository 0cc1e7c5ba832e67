import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { DayProposal, PlannedSite } from '../schemas/visits.ts';

/** Fresh sweeps have this long to bear a repair out before its alert is offered again. Common practice, no source. */
const WAITING_MS = 3 * 86_400_000;

type Reason = DayProposal['left'][number]['reason'];

/** Why sites aren't offered for a day though alerts are open there, by site. */
export async function leftReasons(
  db: Db,
  sites: readonly PlannedSite[],
  leftOut: readonly number[],
  nowMs: number,
): Promise<ReadonlyMap<number, Reason>> {
  const planned = await sitesPlanned(db, nowMs);
  const lookedInto = await alertsLookedInto(db, nowMs - WAITING_MS);
  const reasons = new Map<number, Reason>();
  for (const { siteId, alerts } of sites) {
    if (alerts.every(({ side }) => side === 'provider')) reasons.set(siteId, 'provider-side');
    if (alerts.every(({ alertId }) => lookedInto.has(alertId))) reasons.set(siteId, 'waiting-for-sweeps');
    if (planned.has(siteId)) reasons.set(siteId, 'planned-already');
    if (leftOut.includes(siteId)) reasons.set(siteId, 'left-out');
  }
  return reasons;
}

async function sitesPlanned(db: Db, nowMs: number): Promise<ReadonlySet<number>> {
  const rows = await db
    .selectFrom('visit')
    .innerJoin('visit_day', 'visit_day.day_id', 'visit.day_id')
    .select('visit.site_id')
    .where('visit_day.cancelled_at', 'is', null)
    .where('visit_day.to_at', '>', new Date(nowMs))
    .where(
      sql<boolean>`not exists (
        select from visit_result
        where visit_result.site_id = visit.site_id and visit_result.visit_id = visit.visit_id)`,
    )
    .execute();
  return new Set(rows.map(({ site_id }) => site_id));
}

async function alertsLookedInto(db: Db, sinceMs: number): Promise<ReadonlySet<number>> {
  const rows = await db
    .selectFrom('visit_result')
    .select('alert_id')
    .where('alert_id', 'is not', null)
    .where('outcome', '<>', 'not-done')
    .where('done_at', '>=', new Date(sinceMs))
    .execute();
  return new Set(rows.map(({ alert_id }) => alert_id!));
}
