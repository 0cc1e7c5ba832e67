import type { Db } from '../../../ingest/store/database.ts';
import type { SiteSetup } from '../../schemas/siteSetup.ts';
import { listPoints, type PointFieldsWithId } from '../points.ts';
import { findSite } from '../sites.ts';

interface Standing {
  /** Null for a site that wasn't there. */
  readonly site: SiteSetup | null;
  readonly points: readonly PointFieldsWithId[];
}

/** What an import made of a site, for the audit: the site, and those of its points that are new or no longer as they were. */
export async function importedChange(
  db: Db,
  siteId: number,
  pointIds: readonly number[],
  before: Standing,
): Promise<{ readonly before: unknown; readonly after: unknown }> {
  const was = new Map(before.points.map((point) => [point.pointId, point]));
  const given = (await listPoints(db, siteId)).filter(({ pointId }) => pointIds.includes(pointId));
  const is = given.map(({ hasSweeps: _, ...point }) => point);
  const touched = is.filter((point) => JSON.stringify(point) !== JSON.stringify(was.get(point.pointId)));
  const points = touched.flatMap(({ pointId }) => was.get(pointId) ?? []);
  return {
    before: before.site && { ...before.site, points },
    after: { ...(await findSite(db, siteId)), points: touched },
  };
}
