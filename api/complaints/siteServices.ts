import type { PlannedChannel, PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { findServices } from '../../ingest/plan/findServices.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import type { Db } from '../../ingest/store/database.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import { NotFound } from '../errors.ts';

/** The plan that the site's feed was to follow at a moment; null without one. Throws 404 when there is no such site. */
export async function sitePlanAt(db: Db, siteId: number, atMs: number): Promise<PlanVersion | null> {
  const site = await db.selectFrom('site').select('plan_id').where('site_id', '=', siteId).executeTakeFirst();
  if (site === undefined) throw new NotFound('site', siteId);
  return site.plan_id === null ? null : planInForce(await loadPlanVersions(db, site.plan_id), atMs);
}

/** RF channels that what a viewer said may stand for: an exact number alone, or else every beginning and part of a name. */
export function channelsSaid(plan: PlanVersion | null, said: string): readonly PlannedChannel[] {
  if (plan === null) return [];
  const matches = findServices([plan], said);
  const exact = matches.filter(({ service }) => isExact(service, said));
  return [...new Set((exact.length > 0 ? exact : matches).map(({ channel }) => channel))];
}

function isExact({ number, name }: { number: string; name: string }, said: string): boolean {
  const wanted = said.trim().toLowerCase();
  return number.toLowerCase() === wanted || name.toLowerCase() === wanted;
}
