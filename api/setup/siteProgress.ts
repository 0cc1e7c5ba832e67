import { sql } from 'kysely';
import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import type { Db } from '../../ingest/store/database.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { LEAST_SWEEPS } from '../baseline/proposeBaseline.ts';
import { carriersOf, readCarriers } from '../baseline/readCarriers.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import { limitSetFor } from '../limits/limitSetFor.ts';
import { loadLimitChoices } from '../limits/loadLimitChoices.ts';
import { latestSweeps } from '../risk/latestSweeps.ts';
import type { PointProgress, SiteProgress } from '../schemas/siteProgress.ts';
import { listPoints } from './points.ts';
import { listReadingWays } from './readingWays.ts';
import { setupSteps } from './setupSteps.ts';
import { listSiteKeys } from './siteKeys.ts';
import { findSite } from './sites.ts';

/** How far the set-up of a site has come. Throws 404 when there is no such site. */
export async function siteProgress(db: Db, siteId: number, nowMs: number): Promise<SiteProgress> {
  const site = await findSite(db, siteId);
  const versions = site.planId === null ? [] : await loadPlanVersions(db, site.planId);
  const points = await pointsProgress(db, siteId, versions);
  const keys = await listSiteKeys(db, siteId);
  const steps = setupSteps({
    outlets: site.outlets,
    address: site.address,
    contact: site.contact,
    accessNotes: site.accessNotes,
    hasProvider: site.providerId !== null,
    hasPlan: site.planId !== null,
    planInForce: planInForce(versions, nowMs) !== null,
    keys: keys.filter(({ revokedAt }) => revokedAt === null).length,
    points: points.map(({ title, kind, way, sweeps, baseline }) => ({
      title,
      isHandoff: kind === 'handoff',
      way,
      sweeps,
      hasBaseline: baseline !== null,
    })),
  });
  return { siteId, steps, points, leastSweeps: LEAST_SWEEPS };
}

async function pointsProgress(
  db: Db,
  siteId: number,
  versions: readonly PlanVersion[],
): Promise<PointProgress[]> {
  const points = await listPoints(db, siteId);
  const ways = await listReadingWays(db, siteId);
  const choices = await loadLimitChoices(db, siteId);
  const newest = await latestSweeps(db, siteId);
  const counts = await sweepCounts(db, siteId);
  const baselines = await newestBaselines(db, siteId);
  return points.map(({ pointId, name, label, kind, intervalS }) => {
    const limitSet = limitSetFor({ pointId, kind }, choices);
    const sweep = newest.get(pointId)?.[0];
    return {
      pointId,
      name,
      title: label || name,
      kind,
      intervalS,
      way: ways.get(pointId) ?? null,
      limitSet: { name: limitSet.name, source: limitSet.source },
      heard: sweep === undefined ? null : heardOf(sweep, versions, limitSet),
      sweeps: counts.get(pointId) ?? 0,
      baseline: baselines.get(pointId) ?? null,
    };
  });
}

/** Without a plan nobody knows which carriers count, so flatness and limits wait for one. */
function heardOf(sweep: Sweep, versions: readonly PlanVersion[], limitSet: LimitSet): PointProgress['heard'] {
  const plan = planInForce(versions, sweep.atMs);
  const reading = readCarriers(carriersOf(sweep), plan, limitSet);
  const found = reading.carriers.filter(({ levelDbmv }) => levelDbmv !== null);
  return {
    at: new Date(sweep.atMs).toISOString(),
    instrument: sweep.instrument,
    found: found.length,
    lost: sweep.lostMhz.length,
    outsidePlan: plan === null ? null : found.filter(({ planned }) => planned === null).length,
    levelDbmv: reading.line?.levelDbmv ?? null,
    tiltDb: reading.line?.tiltDb ?? null,
    flatnessDb: plan === null ? null : reading.flatnessDb,
    worstMargin: reading.worst,
    breaches: plan === null ? [] : [...reading.breaches],
  };
}

/** By point; counting ends where a baseline has enough. */
async function sweepCounts(db: Db, siteId: number): Promise<Map<number, number>> {
  const { rows } = await sql<{ point_id: number; sweeps: number }>`
    select point.point_id, count(newest.at)::int as sweeps
    from point
    left join lateral (
      select at from sweep
      where sweep.site_id = point.site_id and sweep.point_id = point.point_id
      order by at desc limit ${LEAST_SWEEPS}
    ) as newest on true
    where point.site_id = ${siteId}
    group by point.point_id`.execute(db);
  return new Map(rows.map(({ point_id, sweeps }) => [point_id, sweeps]));
}

async function newestBaselines(
  db: Db,
  siteId: number,
): Promise<Map<number, NonNullable<PointProgress['baseline']>>> {
  const rows = await db
    .selectFrom('baseline')
    .distinctOn('point_id')
    .select(['point_id', 'version', 'accepted_by', 'accepted_at', 'exception_note'])
    .where('site_id', '=', siteId)
    .orderBy('point_id')
    .orderBy('version', 'desc')
    .execute();
  return new Map(
    rows.map((row) => [
      row.point_id,
      {
        version: row.version,
        acceptedBy: row.accepted_by,
        acceptedAt: row.accepted_at.toISOString(),
        exceptionNote: row.exception_note,
      },
    ]),
  );
}
