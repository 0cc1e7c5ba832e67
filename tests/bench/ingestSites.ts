import type pg from 'pg';
import { acceptBaseline } from '../../api/baseline/acceptBaseline.ts';
import { addPlan } from '../../api/setup/plans.ts';
import { createAcceptSweeps } from '../../ingest/acceptSweeps.ts';
import type { Db } from '../../ingest/store/database.ts';
import { issueSiteKey } from '../../ingest/store/siteKeys.ts';
import { BASELINE_SWEEPS, channels, loadSweep, POINTS, START_MS } from './ingestLoad.ts';

const KINDS = ['handoff', 'gear-input', 'amplifier', 'outlet'] as const;
const OUTLETS = 100;

export interface BenchSite {
  readonly siteId: number;
  readonly key: string;
}

/** Sites with a plan, points, a first day and accepted baselines, so that the engine has all its work to do. */
export async function makeSites(db: Db, pool: pg.Pool, count: number): Promise<BenchSite[]> {
  const planId = await addPlan(
    db,
    { name: 'bench', raster: 'STD', effectiveFrom: new Date(START_MS).toISOString(), note: '', channels },
    'bench',
  );
  const accept = createAcceptSweeps({ db, pool });
  const sites: BenchSite[] = [];
  for (let s = 0; s < count; s++) {
    const { site_id: siteId } = await db
      .insertInto('site')
      .values({ name: `Bench ${s}`, time_zone: 'UTC', outlets: OUTLETS, plan_id: planId })
      .returning('site_id')
      .executeTakeFirstOrThrow();
    const pointIds = await makePoints(db, siteId);
    for (const [p, pointId] of pointIds.entries()) {
      const day = Array.from({ length: BASELINE_SWEEPS }, (_, n) => loadSweep(s, p, n));
      await accept(siteId, day, Date.now());
      await acceptBaseline(
        db,
        { siteId, pointId, fromMs: START_MS, toMs: START_MS + 86_400_000 },
        { acceptedBy: 'bench', acceptedAtMs: Date.now(), exceptionNote: 'made for measuring' },
      );
    }
    const { key } = await issueSiteKey(db, { siteId, label: 'bench', createdBy: 'bench' });
    sites.push({ siteId, key });
  }
  return sites;
}

async function makePoints(db: Db, siteId: number): Promise<number[]> {
  const pointIds: number[] = [];
  for (const [p, name] of POINTS.entries()) {
    const isLast = p === POINTS.length - 1;
    const { point_id } = await db
      .insertInto('point')
      .values({
        site_id: siteId,
        name,
        kind: KINDS[p]!,
        fed_by: pointIds[p - 1] ?? null,
        outlets: isLast ? OUTLETS : 0,
      })
      .returning('point_id')
      .executeTakeFirstOrThrow();
    pointIds.push(point_id);
  }
  return pointIds;
}
