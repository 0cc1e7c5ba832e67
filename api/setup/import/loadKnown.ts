import type { Db } from '../../../ingest/store/database.ts';
import { pointOfRow } from '../points.ts';
import { siteOfRow } from '../sites.ts';
import type { KnownThings } from './checkImport.ts';

/** Sites of these names with their points, and every provider and plan by name. */
export async function loadKnown(db: Db, names: readonly string[]): Promise<KnownThings> {
  const wanted = [...new Set(names)];
  const sites =
    wanted.length === 0
      ? []
      : await db.selectFrom('site').selectAll().where('name', 'in', wanted).orderBy('site_id').execute();
  const ids = sites.map(({ site_id }) => site_id);
  const points =
    ids.length === 0 ? [] : await db.selectFrom('point').selectAll().where('site_id', 'in', ids).execute();
  const bySite = Map.groupBy(points, ({ site_id }) => site_id);
  const providers = await db.selectFrom('provider').select(['provider_id', 'name']).orderBy('name').execute();
  const plans = await db.selectFrom('channel_plan').select(['plan_id', 'name']).orderBy('name').execute();
  return {
    sites: sites.map((row) => ({
      site: siteOfRow(row),
      points: (bySite.get(row.site_id) ?? []).map(pointOfRow),
    })),
    providers: new Map(providers.map(({ provider_id, name }) => [name, provider_id])),
    plans: new Map(plans.map(({ plan_id, name }) => [name, plan_id])),
  };
}
