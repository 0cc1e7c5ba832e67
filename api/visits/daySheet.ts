import type { Db } from '../../ingest/store/database.ts';
import type { AlertRow, VisitRow } from '../../ingest/store/schema.ts';
import { NotFound } from '../errors.ts';
import { titleOf } from '../risk/loadSite.ts';
import { siteView } from '../risk/siteView.ts';
import type { PointView, SiteView } from '../schemas/site.ts';
import type { ReadingView, SheetStop, TaskView, VisitDay, VisitResultView } from '../schemas/visits.ts';
import { visitResults } from './visitResults.ts';

/** A kept day with all that a technician needs along. Throws 404 when there is no such day. */
export async function daySheet(db: Db, dayId: number, nowMs: number): Promise<VisitDay> {
  const day = await db.selectFrom('visit_day').selectAll().where('day_id', '=', dayId).executeTakeFirst();
  if (day === undefined) throw new NotFound('day', dayId);
  const visits = await db
    .selectFrom('visit')
    .selectAll()
    .where('day_id', '=', dayId)
    .orderBy('place')
    .execute();
  const results = await visitResults(db, { dayId });

  const stops: SheetStop[] = [];
  for (const visit of visits) {
    const own = results.filter((result) => result.visitId === visit.visit_id);
    stops.push(await sheetStop(db, visit, own, nowMs));
  }
  return {
    dayId,
    technician: day.technician,
    startName: day.start_name,
    timeZone: day.time_zone,
    fromAt: day.from_at.toISOString(),
    toAt: day.to_at.toISOString(),
    backMinutes: day.back_minutes,
    cancelledBy: day.cancelled_by,
    preparedAt: new Date(nowMs).toISOString(),
    stops,
  };
}

async function sheetStop(
  db: Db,
  visit: VisitRow,
  results: VisitResultView[],
  nowMs: number,
): Promise<SheetStop> {
  const view = await siteView(db, visit.site_id, nowMs);
  const { latitude, longitude } = await db
    .selectFrom('site')
    .select(['latitude', 'longitude'])
    .where('site_id', '=', visit.site_id)
    .executeTakeFirstOrThrow();
  const { name, address, town, timeZone, contact, accessNotes } = view.site;
  return {
    visitId: visit.visit_id,
    siteId: visit.site_id,
    name,
    address,
    town,
    timeZone,
    contact,
    accessNotes,
    latitude,
    longitude,
    driveMinutes: visit.drive_minutes,
    arriveAt: visit.arrive_at.toISOString(),
    leaveAt: visit.leave_at.toISOString(),
    savedOutletDays: visit.saved_outlet_days,
    tasks: await tasksOf(db, visit, view),
    points: view.points.map((point) => ({
      pointId: point.pointId,
      title: titleOf(point),
      kind: point.kind,
      depth: point.depth,
      latest: readingOf(point),
    })),
    results,
  };
}

async function tasksOf(db: Db, visit: VisitRow, view: SiteView): Promise<TaskView[]> {
  const alerts = await db
    .selectFrom('visit_alert')
    .innerJoin('alert', 'alert.alert_id', 'visit_alert.alert_id')
    .selectAll('alert')
    .where('visit_alert.site_id', '=', visit.site_id)
    .where('visit_alert.visit_id', '=', visit.visit_id)
    .orderBy('alert.priority', 'desc')
    .execute();
  if (alerts.length === 0) return [];
  const told = await db
    .selectFrom('alert_finding')
    .selectAll()
    .where('site_id', '=', visit.site_id)
    .where(
      'alert_id',
      'in',
      alerts.map(({ alert_id }) => alert_id),
    )
    .execute();
  return alerts.map((alert) => {
    const events = told.filter(({ alert_id }) => alert_id === alert.alert_id).map(({ event }) => event);
    return taskView(alert, events, view);
  });
}

function taskView(alert: AlertRow, events: readonly number[], view: SiteView): TaskView {
  const finding = view.findings.find(
    ({ event, explainedBy }) => events.includes(event) && explainedBy === null,
  );
  const pointId = alert.hop_to ?? finding?.pointId ?? null;
  const point = view.points.find((candidate) => candidate.pointId === pointId);
  return {
    alertId: alert.alert_id,
    title: alert.title,
    sentence: finding?.sentence ?? alert.sentence,
    severity: alert.severity,
    state: alert.state,
    side: alert.side,
    doFirst: alert.do_first,
    pointId: point?.pointId ?? null,
    hopFrom: finding?.hop.from ?? null,
    hopTo: finding?.hop.to ?? (point === undefined ? null : titleOf(point)),
    hopNote: point?.hopNote ?? '',
    causes: finding?.causes ?? [],
  };
}

function readingOf({ latest }: PointView): ReadingView | null {
  if (latest === null) return null;
  const { at, levelDbmv, levelDevDb, tiltDb, worstMerMarginDb } = latest;
  return { at, levelDbmv, levelDevDb, tiltDb, merMarginDb: worstMerMarginDb };
}
