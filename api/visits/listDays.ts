import type { Db } from '../../ingest/store/database.ts';
import type { VisitDaySummary } from '../schemas/visits.ts';

const SHOWN_MS = 30 * 86_400_000;

/** Days to come and of the last 30 days, newest first. */
export async function listDays(db: Db, nowMs: number): Promise<VisitDaySummary[]> {
  const days = await db
    .selectFrom('visit_day')
    .selectAll()
    .where('to_at', '>=', new Date(nowMs - SHOWN_MS))
    .orderBy('from_at', 'desc')
    .orderBy('day_id', 'desc')
    .execute();
  if (days.length === 0) return [];
  const visits = await db
    .selectFrom('visit')
    .innerJoin('site', 'site.site_id', 'visit.site_id')
    .select(['visit.day_id', 'visit.site_id as siteId', 'site.name'])
    .select((eb) =>
      eb
        .selectFrom('visit_result')
        .select((inner) => inner.fn.countAll<number>().as('count'))
        .whereRef('visit_result.site_id', '=', 'visit.site_id')
        .whereRef('visit_result.visit_id', '=', 'visit.visit_id')
        .as('results'),
    )
    .where(
      'visit.day_id',
      'in',
      days.map(({ day_id }) => day_id),
    )
    .orderBy('visit.place')
    .execute();

  const byDay = Map.groupBy(visits, ({ day_id }) => day_id);
  return days.map((day) => {
    const own = byDay.get(day.day_id) ?? [];
    return {
      dayId: day.day_id,
      technician: day.technician,
      timeZone: day.time_zone,
      fromAt: day.from_at.toISOString(),
      toAt: day.to_at.toISOString(),
      cancelledBy: day.cancelled_by,
      sites: own.map(({ siteId, name }) => ({ siteId, name })),
      results: own.reduce((sum, { results }) => sum + (results ?? 0), 0),
    };
  });
}
