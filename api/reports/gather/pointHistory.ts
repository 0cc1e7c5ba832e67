import { planInForce } from '../../../ingest/plan/planInForce.ts';
import { median } from '../../../ingest/signal/median.ts';
import type { Db } from '../../../ingest/store/database.ts';
import { hourlyColumns } from '../../baseline/historyColumns.ts';
import { limitsOf } from '../../baseline/historyView.ts';
import type { PointContext } from '../../baseline/loadPoint.ts';
import type { PointHistory } from '../reportData.ts';
import type { Period } from '../reportKind.ts';

/** More steps than this can't be told apart on paper. */
const MOST_STEPS = 360;
const HOUR_MS = 3_600_000;

/** Level, tilt and worst MER margin over the period, as medians of whole hours or of several. */
export async function pointHistory(
  db: Db,
  { site, point, limitSet, planVersions }: PointContext,
  period: Period,
): Promise<PointHistory> {
  const { fromMs, toMs } = period;
  const hours = await hourlyColumns(db, site.site_id, point.point_id, { fromMs, toMs: toMs - HOUR_MS });
  const stepHours = Math.max(1, Math.ceil((toMs - fromMs) / HOUR_MS / MOST_STEPS));
  const steps = Map.groupBy(hours.times.keys(), (i) =>
    Math.floor((hours.times[i]! * 1000) / (stepHours * HOUR_MS)),
  );
  const medians = (column: readonly (number | null)[]) =>
    [...steps.values()].map((places) => median(places.map((i) => column[i] ?? null)));
  const { level, tilt } = limitsOf(limitSet, planInForce(planVersions, toMs));

  return {
    pointId: point.point_id,
    stepHours,
    times: [...steps.keys()].map((step) => new Date(step * stepHours * HOUR_MS).toISOString()),
    levelDbmv: medians(hours.levelDbmv),
    tiltDb: medians(hours.tiltDb),
    merMarginDb: medians(hours.merMarginDb),
    sweeps: await countSweeps(db, site.site_id, point.point_id, period),
    sweepsDue: Math.floor((toMs - fromMs) / 1000 / point.interval_s),
    levelWindow: { min: level.min, max: level.max },
    tiltWindow: { min: tilt.min, max: tilt.max },
  };
}

async function countSweeps(
  db: Db,
  siteId: number,
  pointId: number,
  { fromMs, toMs }: Period,
): Promise<number> {
  const { sweeps } = await db
    .selectFrom('sweep')
    .select((eb) => eb.fn.countAll<number>().as('sweeps'))
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .where('at', '>=', new Date(fromMs))
    .where('at', '<=', new Date(toMs))
    .executeTakeFirstOrThrow();
  return sweeps;
}
