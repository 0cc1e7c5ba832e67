import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { VisitResultRow } from '../../ingest/store/schema.ts';
import { titleOf } from '../risk/loadSite.ts';
import type { ReadingView, VisitResultView } from '../schemas/visits.ts';
import { type RepairFacts, type RepairStanding, repairStanding } from './repairStanding.ts';

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
/** A repair is confirmed, or shown not to have helped, well within this time. */
const FOLLOWED_MS = 14 * DAY_MS;

interface HourRow {
  readonly hour: Date;
  readonly level_dbmv: number | null;
  readonly level_dev_db: number | null;
  readonly tilt_db: number | null;
  readonly tilt_dev_db: number | null;
  readonly mer_margin_db: number | null;
}

type NamedRow = VisitResultRow & {
  readonly site_name: string;
  readonly time_zone: string;
  readonly point_name: string | null;
  readonly point_label: string | null;
  readonly alert_title: string | null;
};

/** Results, newest first, each with what the sweeps say of it; those of one day, or the newest of all. */
export async function visitResults(
  db: Db,
  which: { readonly dayId: number } | { readonly newest: number },
): Promise<VisitResultView[]> {
  let results = db
    .selectFrom('visit_result')
    .innerJoin('site', 'site.site_id', 'visit_result.site_id')
    .leftJoin('point', (join) =>
      join
        .onRef('point.site_id', '=', 'visit_result.site_id')
        .onRef('point.point_id', '=', 'visit_result.point_id'),
    )
    .leftJoin('alert', 'alert.alert_id', 'visit_result.alert_id')
    .selectAll('visit_result')
    .select(['site.name as site_name', 'site.time_zone', 'alert.title as alert_title'])
    .select(['point.name as point_name', 'point.label as point_label'])
    .orderBy('visit_result.done_at', 'desc');
  if ('newest' in which) results = results.limit(which.newest);
  else {
    results = results.where(
      sql<boolean>`exists (
        select from visit
        where visit.site_id = visit_result.site_id and visit.visit_id = visit_result.visit_id
          and visit.day_id = ${which.dayId})`,
    );
  }
  const views: VisitResultView[] = [];
  for (const row of await results.execute()) views.push(await resultView(db, row));
  return views;
}

async function resultView(db: Db, row: NamedRow): Promise<VisitResultView> {
  const hours = await hoursAround(db, row);
  const facts: RepairFacts = {
    outcome: row.outcome,
    beganMs: row.began_at.getTime(),
    doneMs: row.done_at.getTime(),
    findings: await findingsBehind(db, row),
    hours: hours.map(({ hour, level_dev_db, tilt_dev_db }) => ({
      hourMs: hour.getTime(),
      levelDevDb: level_dev_db,
      tiltDevDb: tilt_dev_db,
    })),
  };
  const wholeHour = (hour: HourRow) => hour.hour.getTime() + HOUR_MS <= facts.beganMs;
  const before = hours.findLast(wholeHour);
  const after = hours.findLast(({ hour }) => hour.getTime() >= facts.doneMs);
  return {
    ...recorded(row),
    sweptBefore: before === undefined ? null : readingView(before),
    sweptAfter: after === undefined ? null : readingView(after),
    standing: standingView(repairStanding(facts)),
  };
}

function recorded(row: NamedRow): Omit<VisitResultView, 'sweptBefore' | 'sweptAfter' | 'standing'> {
  const { point_name, point_label } = row;
  return {
    siteId: row.site_id,
    resultId: row.result_id,
    siteName: row.site_name,
    timeZone: row.time_zone,
    visitId: row.visit_id,
    alertId: row.alert_id,
    alertTitle: row.alert_title,
    pointId: row.point_id,
    pointName:
      point_name === null ? 'a point no longer there' : titleOf({ name: point_name, label: point_label! }),
    outcome: row.outcome,
    found: row.found,
    done: row.done,
    parts: row.parts,
    readChannel: row.read_channel,
    levelBeforeDbmv: row.level_before_dbmv,
    levelAfterDbmv: row.level_after_dbmv,
    merBeforeDb: row.mer_before_db,
    merAfterDb: row.mer_after_db,
    beganAt: row.began_at.toISOString(),
    doneAt: row.done_at.toISOString(),
    recordedBy: row.recorded_by,
  };
}

function standingView({ state, atMs, hoursRead, window }: RepairStanding): VisitResultView['standing'] {
  const instant = (ms: number | undefined | null) => (ms == null ? null : new Date(ms).toISOString());
  return {
    state,
    at: instant(atMs),
    hoursRead,
    baselineFrom: instant(window?.fromMs),
    baselineTo: instant(window?.toMs),
  };
}

function readingView(row: HourRow): ReadingView {
  return {
    at: row.hour.toISOString(),
    levelDbmv: row.level_dbmv,
    levelDevDb: row.level_dev_db,
    tiltDb: row.tilt_db,
    merMarginDb: row.mer_margin_db,
  };
}

function hoursAround(db: Db, row: VisitResultRow): Promise<HourRow[]> {
  return db
    .selectFrom('hourly')
    .select(['hour', 'level_dbmv', 'level_dev_db', 'tilt_db', 'tilt_dev_db', 'mer_margin_db'])
    .where('site_id', '=', row.site_id)
    .where('point_id', '=', row.point_id)
    .where('hour', '>=', new Date(row.began_at.getTime() - DAY_MS))
    .where('hour', '<', new Date(row.done_at.getTime() + FOLLOWED_MS))
    .orderBy('hour')
    .execute();
}

/** Those of the alert; without one, those that stood at the point when the work began. */
async function findingsBehind(db: Db, row: VisitResultRow): Promise<RepairFacts['findings']> {
  let findings = db
    .selectFrom('finding')
    .select(['finding.closed_at', 'finding.evidence'])
    .where('finding.site_id', '=', row.site_id);
  if (row.alert_id === null) {
    findings = findings
      .where('finding.point_id', '=', row.point_id)
      .where('finding.onset_at', '<=', row.began_at)
      .where((where) =>
        where.or([where('finding.closed_at', 'is', null), where('finding.closed_at', '>', row.began_at)]),
      );
  } else {
    findings = findings.where(
      sql<boolean>`exists (
        select from alert_finding
        where alert_finding.alert_id = ${row.alert_id} and alert_finding.site_id = finding.site_id
          and alert_finding.event = finding.event and alert_finding.point_id = finding.point_id)`,
    );
  }
  return (await findings.execute()).map(({ closed_at, evidence }) => ({
    closedMs: closed_at?.getTime() ?? null,
    closedBy: typeof evidence['closedBy'] === 'string' ? evidence['closedBy'] : null,
  }));
}
