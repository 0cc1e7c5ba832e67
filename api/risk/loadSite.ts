import { sql } from 'kysely';
import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import { median } from '../../ingest/signal/median.ts';
import type { Db } from '../../ingest/store/database.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import type { FindingRow, Point, Site } from '../../ingest/store/schema.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { typedInstrument } from '../../ingest/typedInstrument.ts';
import { agentReports, type ReceivedReport } from '../agents/agentReports.ts';
import { type CarrierMedians, windowMedians } from '../baseline/windowMedians.ts';
import type { TreePoint } from '../diagnosis/tree.ts';
import { type EffectiveLimitSet, limitSetFor } from '../limits/limitSetFor.ts';
import { loadLimitChoices } from '../limits/loadLimitChoices.ts';
import { type SiteWindow, windowsFor } from '../maintenance/windowsAt.ts';
import { loadReadings } from '../punctuality/loadReadings.ts';
import { serverProbes } from '../punctuality/serverProbes.ts';
import type { Arrived, PointReadings, ServerProbe } from '../punctuality/types.ts';
import { type Readers, withoutTyped } from '../punctuality/withoutTyped.ts';
import { comparedLevels, type StoredLevels } from './comparedLevels.ts';
import { latestSweeps } from './latestSweeps.ts';

const CLOSED_SHOWN_DAYS = 90;
const DAY_MS = 86_400_000;
/** Eighty sweeps reach no further back, even once a day. */
const WINDOWS_LOOKED_AT_DAYS = 366;

/** Baseline in force, as far as the newest sweeps are held against it. */
export interface BaselineInForce {
  readonly version: number;
  /** dBmV by Hz, of the carriers that may be compared with what is read now. */
  readonly levels: ReadonlyMap<number, number>;
  /** How far one channel scattered while it was made, dB, as a standard deviation. */
  readonly spreadDb: number | null;
}

/** What the engine leaves beside a point's state for the pages to read. */
export interface KeptLatest {
  /** Event time of the sweep, ISO 8601. */
  readonly at: string;
  readonly instrument: string;
  readonly ambientC: number | null;
  readonly levelDbmv: number | null;
  readonly tiltDb: number | null;
  readonly flatnessDb: number | null;
  readonly worstMerMarginDb: number | null;
  readonly worstMerChannel: string | null;
  readonly levelDevDb: number | null;
  readonly tiltDevDb: number | null;
  /** Absent in states that were kept before it was. */
  readonly merDevDb?: number | null;
  readonly channels: number;
  readonly lostChannels: readonly string[];
  /** People were at work on the plant; absent when they weren't. */
  readonly inMaintenance?: boolean;
}

export interface LoadedPoint {
  readonly row: Point;
  readonly title: string;
  readonly limitSet: EffectiveLimitSet;
  readonly baseline: BaselineInForce | null;
  readonly latest: KeptLatest | null;
  /** The newest sweeps, newest first; those of maintenance windows are left out. */
  readonly sweeps: readonly Sweep[];
  /** Medians over them. */
  readonly carriers: readonly CarrierMedians[];
  /** How its sweeps have come. */
  readonly readings: PointReadings;
}

/** One site as the store has it, as far as risk and the site page look. */
export interface LoadedSite {
  readonly row: Site;
  readonly plan: PlanVersion | null;
  readonly points: readonly LoadedPoint[];
  /** Open ones, and those that closed since the moment asked for. */
  readonly findings: readonly FindingRow[];
  /** Maintenance windows of the last year, and the one in progress; earliest first. */
  readonly windows: readonly SiteWindow[];
  /** Newest heartbeats of its agents. */
  readonly agents: readonly ReceivedReport[];
  /** Instruments that the server reads by itself. */
  readonly probes: readonly ServerProbe[];
}

/**
 * Reads what risk and the site page need of one site, in a fixed number of statements whatever the number of
 * points. Null when there is no such site.
 *
 * @param closedSinceMs findings that closed before it are left out; 90 days ago by default
 */
export async function loadSite(
  db: Db,
  siteId: number,
  nowMs: number,
  closedSinceMs: number = nowMs - CLOSED_SHOWN_DAYS * DAY_MS,
): Promise<LoadedSite | null> {
  const row = await db.selectFrom('site').selectAll().where('site_id', '=', siteId).executeTakeFirst();
  if (row === undefined) return null;

  const points = await pointsWithReference(db, siteId, nowMs);
  const sweeps = await latestSweeps(db, siteId);
  const arrived = await loadReadings(db, siteId);
  const windows = await windowsFor(db, siteId, nowMs - WINDOWS_LOOKED_AT_DAYS * DAY_MS, nowMs);
  const readers = { probes: await serverProbes(db, siteId, nowMs), agents: await agentReports(db, siteId) };
  const choices = await loadLimitChoices(db, siteId);
  const versions = row.plan_id === null ? [] : await loadPlanVersions(db, row.plan_id);
  const findings = await db
    .selectFrom('finding')
    .selectAll()
    .where('site_id', '=', siteId)
    .where((where) =>
      where.or([where('closed_at', 'is', null), where('closed_at', '>', new Date(closedSinceMs))]),
    )
    .orderBy('onset_at', 'desc')
    .execute();

  return {
    row,
    plan: planInForce(versions, nowMs),
    findings,
    windows,
    ...readers,
    points: points.map((point) => {
      const newest = sweeps.get(point.point_id) ?? [];
      return {
        row: point,
        title: titleOf(point),
        limitSet: limitSetFor({ pointId: point.point_id, kind: point.kind }, choices),
        baseline: baselineOf(point, versions, nowMs),
        latest: point.latest,
        sweeps: newest,
        carriers: windowMedians(newest),
        readings: readingsOf(point, arrived.get(point.point_id) ?? [], readers, nowMs),
      };
    }),
  };
}

/** What a person calls a point: its label, or the name that sweeps use. */
export function titleOf(point: Pick<Point, 'name' | 'label'>): string {
  return point.label === '' ? point.name : point.label;
}

/** The points as findings are placed among them. */
export function treeOf(points: readonly LoadedPoint[]): TreePoint[] {
  return points.map(({ row, title }) => ({ pointId: row.point_id, title, fedBy: row.fed_by }));
}

type PointWithReference = Point & {
  latest: KeptLatest | null;
  newest_at: Date | null;
  newest_read_at: Date | null;
} & (
    | ({ version: number; instruments: string[]; level_spread_cdb: (number | null)[] } & StoredLevels)
    | { version: null }
  );

async function pointsWithReference(db: Db, siteId: number, nowMs: number): Promise<PointWithReference[]> {
  const { rows } = await sql<PointWithReference>`
    select point.*, point_state.latest, baseline.version, baseline.to_at, baseline.instruments, baseline.freq_hz,
      baseline.level_cdbmv, baseline.level_spread_cdb,
      (select at from sweep where sweep.site_id = point.site_id and sweep.point_id = point.point_id
        order by at desc limit 1) as newest_at,
      (select at from sweep where sweep.site_id = point.site_id and sweep.point_id = point.point_id
        and not starts_with(instrument, ${typedInstrument('')})
        order by at desc limit 1) as newest_read_at
    from point
    left join point_state on point_state.site_id = point.site_id and point_state.point_id = point.point_id
    left join lateral (
      select version, to_at, instruments, freq_hz, level_cdbmv, level_spread_cdb
      from baseline
      where baseline.site_id = point.site_id and baseline.point_id = point.point_id
        and baseline.effective_from <= ${new Date(nowMs)}
      order by effective_from desc, version desc
      limit 1
    ) as baseline on true
    where point.site_id = ${siteId}
    order by point.point_id`.execute(db);
  return rows;
}

function readingsOf(
  point: PointWithReference,
  sweeps: readonly Arrived[],
  readers: Readers,
  nowMs: number,
): PointReadings {
  const all: PointReadings = {
    pointId: point.point_id,
    name: point.name,
    title: titleOf(point),
    intervalS: point.interval_s,
    sweeps,
    lastMs: point.newest_at?.getTime() ?? null,
    baseline:
      point.version === null
        ? null
        : {
            channels: point.level_cdbmv.filter((level) => level !== null).length,
            instruments: point.instruments,
          },
  };
  return withoutTyped(all, point.newest_read_at?.getTime() ?? null, readers, nowMs);
}

function baselineOf(
  point: PointWithReference,
  versions: readonly PlanVersion[],
  nowMs: number,
): BaselineInForce | null {
  if (point.version === null) return null;
  const spread = median(point.level_spread_cdb);
  return {
    version: point.version,
    levels: comparedLevels(point, versions, nowMs),
    spreadDb: spread === null ? null : spread / 100,
  };
}
