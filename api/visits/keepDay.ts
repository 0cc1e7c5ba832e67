import type { z } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import { InvalidInput, NotFound } from '../errors.ts';
import type { NewVisitDaySchema, PlannedSite } from '../schemas/visits.ts';
import type { DayOrder } from './dayOrder.ts';
import { NOTHING, withStop } from './legs.ts';
import { openTasks } from './openTasks.ts';
import { proposedStops, startOf, stopOf, workingMinutes } from './proposeDay.ts';

type Day = z.output<typeof NewVisitDaySchema>;

/**
 * Keeps a day with its sites in the order given.
 *
 * @returns its number
 * @throws InvalidInput when a site has no open alert, or the order doesn't fit the hours
 */
export async function keepDay(db: Db, day: Day, by: string, nowMs: number): Promise<number> {
  const sites = await openTasks(db);
  const order = orderGiven(day, sites);
  const stops = proposedStops(order, sites, Date.parse(day.from));

  return inTransaction(db, async (trx) => {
    const { day_id } = await trx
      .insertInto('visit_day')
      .values({
        technician: day.technician,
        start_name: day.startName,
        start_latitude: day.startLatitude,
        start_longitude: day.startLongitude,
        time_zone: day.timeZone,
        from_at: new Date(day.from),
        to_at: new Date(day.to),
        back_minutes: order.backMinutes,
        created_by: by,
        created_at: new Date(nowMs),
        cancelled_by: null,
        cancelled_at: null,
      })
      .returning('day_id')
      .executeTakeFirstOrThrow();

    for (const [i, stop] of stops.entries()) {
      const { visit_id } = await trx
        .insertInto('visit')
        .values({
          site_id: stop.siteId,
          day_id,
          place: i + 1,
          drive_minutes: stop.driveMinutes,
          arrive_at: new Date(stop.arriveAt),
          leave_at: new Date(stop.leaveAt),
          saved_outlet_days: stop.savedOutletDays,
        })
        .returning('visit_id')
        .executeTakeFirstOrThrow();
      const alerts = stop.alerts.map(({ alertId }) => ({
        site_id: stop.siteId,
        visit_id,
        alert_id: alertId,
      }));
      await trx.insertInto('visit_alert').values(alerts).execute();
    }
    return day_id;
  });
}

/** A day that won't take place; its sites are offered again. */
export async function cancelDay(db: Db, dayId: number, by: string, nowMs: number): Promise<void> {
  const { numUpdatedRows } = await db
    .updateTable('visit_day')
    .set({ cancelled_by: by, cancelled_at: new Date(nowMs) })
    .where('day_id', '=', dayId)
    .where('cancelled_at', 'is', null)
    .executeTakeFirst();
  if (numUpdatedRows === 0n) throw new NotFound('day', dayId);
}

function orderGiven(day: Day, sites: readonly PlannedSite[]): DayOrder {
  const working = { start: startOf(day), minutes: workingMinutes(day) };
  return day.siteIds.reduce((order: DayOrder, siteId, i) => {
    const site = sites.find((candidate) => candidate.siteId === siteId);
    if (site === undefined) {
      throw new InvalidInput({ [`siteIds.${i}`]: `no alert is open at site ${siteId}: take it out` });
    }
    const longer = withStop(order, stopOf(site), working);
    if (longer !== null) return longer;
    throw new InvalidInput({
      [`siteIds.${i}`]: `with ${site.name} one is not back in time: take a site out, or choose longer hours`,
    });
  }, NOTHING);
}
