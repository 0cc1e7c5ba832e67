import type { Db } from '../../ingest/store/database.ts';
import type { AlertRow } from '../../ingest/store/schema.ts';
import type { PlannedSite } from '../schemas/visits.ts';
import { VISIT_ASSUMPTIONS } from './assumptions.ts';
import { taskMinutes } from './taskMinutes.ts';

/** More than any team visits in a day; the rest keeps for the next. */
const SITES = 60;

/** Sites with alerts that wait for somebody, with what a visit would do there; the most pressing first. */
export async function openTasks(db: Db): Promise<PlannedSite[]> {
  const alerts = await db
    .selectFrom('alert')
    .selectAll()
    .where('kind', '=', 'site')
    .where('closed_at', 'is', null)
    .where('part_of', 'is', null)
    .where('state', 'in', ['active-unacknowledged', 'active-acknowledged'])
    .orderBy('priority', 'desc')
    .orderBy('alert_id')
    .execute();
  const bySite = Map.groupBy(alerts, ({ site_id }) => site_id!);
  const siteIds = [...bySite.keys()].slice(0, SITES);
  if (siteIds.length === 0) return [];

  const sites = await db
    .selectFrom('site')
    .select(['site_id', 'name', 'town', 'time_zone', 'latitude', 'longitude'])
    .where('site_id', 'in', siteIds)
    .execute();
  const byId = new Map(sites.map((site) => [site.site_id, site]));
  return siteIds.flatMap((siteId) => {
    const site = byId.get(siteId);
    if (site === undefined) return [];
    const { site_id, time_zone, ...same } = site;
    return [{ ...same, siteId: site_id, timeZone: time_zone, ...workAt(bySite.get(siteId)!) }];
  });
}

/** Alerts of one building overlap in the outlets they speak of, so the largest counts and not their sum. */
function workAt(alerts: readonly AlertRow[]): Pick<PlannedSite, 'outletDays' | 'minutes' | 'alerts'> {
  const tasks = alerts.map((alert) => ({
    alertId: alert.alert_id,
    title: alert.title,
    sentence: alert.sentence,
    severity: alert.severity,
    side: alert.side,
    minutes: taskMinutes(alert.cause),
  }));
  return {
    outletDays: Math.max(...alerts.map(({ priority }) => priority)),
    minutes: tasks.reduce<number>((sum, { minutes }) => sum + minutes, VISIT_ASSUMPTIONS.accessMinutes),
    alerts: tasks,
  };
}
