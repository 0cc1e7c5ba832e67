import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import type { Db } from '../../ingest/store/database.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import type { Point, Site } from '../../ingest/store/schema.ts';
import { NotFound } from '../errors.ts';
import { type EffectiveLimitSet, limitSetFor } from '../limits/limitSetFor.ts';
import { loadLimitChoices } from '../limits/loadLimitChoices.ts';

/** A point with what its readings are held against. */
export interface PointContext {
  readonly site: Site;
  readonly point: Point;
  readonly limitSet: EffectiveLimitSet;
  /** Versions of the site's plan; empty when it has none. */
  readonly planVersions: readonly PlanVersion[];
}

/** @throws NotFound when the site has no such point */
export async function loadPoint(db: Db, siteId: number, pointId: number): Promise<PointContext> {
  const site = await db.selectFrom('site').selectAll().where('site_id', '=', siteId).executeTakeFirst();
  if (site === undefined) throw new NotFound('site', siteId);
  const point = await db
    .selectFrom('point')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .executeTakeFirst();
  if (point === undefined) throw new NotFound('point', pointId);

  const choices = await loadLimitChoices(db, siteId);
  return {
    site,
    point,
    limitSet: limitSetFor({ pointId, kind: point.kind }, choices),
    planVersions: site.plan_id === null ? [] : await loadPlanVersions(db, site.plan_id),
  };
}
