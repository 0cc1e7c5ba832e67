import { announceChange } from './announceChange.ts';
import type { Db } from './database.ts';

/** {@link announceChange} for points of many sites, one statement a site. */
export async function announceToSites(
  db: Db,
  points: readonly { readonly site_id: number; readonly point_id: number }[],
  fromMs: number,
): Promise<void> {
  for (const [siteId, ofSite] of Map.groupBy(points, (point) => point.site_id)) {
    const pointIds = ofSite.map((point) => point.point_id);
    await announceChange(db, siteId, pointIds, fromMs);
  }
}
