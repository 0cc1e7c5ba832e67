import { planInForce } from '../../../ingest/plan/planInForce.ts';
import type { Db } from '../../../ingest/store/database.ts';
import type { Point } from '../../../ingest/store/schema.ts';
import { baselineInForce } from '../../baseline/baselineQueries.ts';
import { baselineVersionView } from '../../baseline/baselineView.ts';
import type { PointContext } from '../../baseline/loadPoint.ts';
import { treeOrder } from '../../diagnosis/tree.ts';
import { ApiError, NotFound } from '../../errors.ts';
import { titleOf } from '../../risk/loadSite.ts';
import type { FindingView } from '../../schemas/common.ts';
import { whyThisSet } from '../../setup/limitViews.ts';
import { REPORT_VERSION, type ReportData, type SetUpPart } from '../reportData.ts';
import type { Period, ReportKind } from '../reportKind.ts';
import { findingsAt } from './findingsAt.ts';
import { instrumentUse } from './instrumentUse.ts';
import { pointAt } from './pointAt.ts';
import { pointHistory } from './pointHistory.ts';
import { pointReadings } from './pointReadings.ts';

/**
 * Reads all that a report of `kind` says of a site over a period. It depends on what is stored and on nothing else: the
 * same database and period give the same data at any time.
 *
 * @throws NotFound when there is no such site
 * @throws ApiError 409 when the site has no handoff, of which a report for the provider speaks
 */
export async function gatherReport(
  db: Db,
  siteId: number,
  kind: ReportKind,
  period: Period,
): Promise<ReportData> {
  const all = await pointsInTreeOrder(db, siteId);
  const points = kind === 'handoff' ? all.filter((point) => point.kind === 'handoff') : all;
  if (points.length === 0) throw noPoints(kind);
  const ids = new Set(points.map(({ point_id }) => point_id));
  const here = ({ pointId }: { readonly pointId: number }) => ids.has(pointId);
  const findings = (await findingsAt(db, siteId, period)).filter(here);

  const contexts: PointContext[] = [];
  const perPoint = { agreed: [], baselines: [], readings: [], history: [] } as Mutable<
    Pick<ReportData, 'agreed' | 'baselines' | 'readings' | 'history'>
  >;
  for (const { point_id: pointId, kind: pointKind } of points) {
    const context = await pointAt(db, siteId, pointId, period.toMs);
    const baseline = await baselineInForce(db, siteId, pointId, period.toMs);
    const { name: setName, limits } = context.limitSet;
    contexts.push(context);
    perPoint.agreed.push({ pointId, setName, why: whyThisSet(context.limitSet, pointKind), limits });
    perPoint.baselines.push({ pointId, baseline: baseline && baselineVersionView(baseline) });
    perPoint.readings.push(
      await pointReadings(db, context, baseline, period, lastChangeMs(findings, pointId)),
    );
    perPoint.history.push(await pointHistory(db, context, period));
  }

  return {
    version: REPORT_VERSION,
    kind,
    siteId,
    from: new Date(period.fromMs).toISOString(),
    to: new Date(period.toMs).toISOString(),
    setUp: await setUpPart(db, contexts, all, period),
    ...perPoint,
    findings,
    instruments: (await instrumentUse(db, siteId, period)).filter(here),
  };
}

type Mutable<T> = { [K in keyof T]: T[K] extends readonly (infer Item)[] ? Item[] : T[K] };

function noPoints(kind: ReportKind): ApiError {
  return kind === 'handoff'
    ? new ApiError(409, 'no-handoff', 'the site has no handoff', 'add the handoff in its set-up first')
    : new ApiError(409, 'no-points', 'the site has no points', 'add its points in its set-up first');
}

async function pointsInTreeOrder(db: Db, siteId: number): Promise<Point[]> {
  const site = db.selectFrom('site').select('site_id').where('site_id', '=', siteId);
  if (!(await site.executeTakeFirst())) throw new NotFound('site', siteId);
  const rows = await db
    .selectFrom('point')
    .selectAll()
    .where('site_id', '=', siteId)
    .orderBy('point_id')
    .execute();
  return treeOrder(rows.map((row) => ({ ...row, pointId: row.point_id, fedBy: row.fed_by }))).map(
    ({ point: { pointId: _id, fedBy: _fedBy, ...row } }) => row,
  );
}

/** When an open finding of the point was surely there; a drift goes on, so it parts no "before" from "after". */
function lastChangeMs(findings: readonly FindingView[], pointId: number): number | null {
  const changes = findings
    .filter((finding) => finding.pointId === pointId && finding.closedAt === null && finding.kind !== 'drift')
    .map(({ onsetHighAt }) => Date.parse(onsetHighAt));
  return changes.length === 0 ? null : Math.max(...changes);
}

async function setUpPart(
  db: Db,
  contexts: readonly PointContext[],
  all: readonly Point[],
  { toMs }: Period,
): Promise<SetUpPart> {
  const { site, planVersions } = contexts[0]!;
  const provider = await db
    .selectFrom('provider')
    .select('name')
    .where('provider_id', '=', site.provider_id)
    .executeTakeFirst();
  const plan = await db
    .selectFrom('channel_plan')
    .select('name')
    .where('plan_id', '=', site.plan_id)
    .executeTakeFirst();
  const version = planInForce(planVersions, toMs);
  const titles = new Map(all.map((point) => [point.point_id, titleOf(point)]));
  return {
    site: site.name,
    address: [site.address, site.town].filter((line) => line !== '').join(', '),
    timeZone: site.time_zone,
    outlets: site.outlets,
    provider: provider?.name ?? null,
    plan:
      plan && version
        ? {
            name: plan.name,
            version: version.version,
            effectiveFrom: new Date(version.effectiveFromMs).toISOString(),
            channels: version.channels.length,
          }
        : null,
    points: contexts.map(({ point }) => ({
      pointId: point.point_id,
      title: titleOf(point),
      name: point.name,
      kind: point.kind,
      fedBy: point.fed_by === null ? null : (titles.get(point.fed_by) ?? null),
      hopNote: point.hop_note,
      outlets: point.outlets,
      intervalS: point.interval_s,
    })),
  };
}
