import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import type { Db } from '../../ingest/store/database.ts';
import { readSweeps } from '../../ingest/store/readSweeps.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import type { HistoryView } from '../schemas/site.ts';
import { carriersOf, readCarriers } from './readCarriers.ts';

/** A stretch of event time, both ends included, milliseconds since 1970-01-01 UTC. */
export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

type Columns = Pick<
  HistoryView,
  'times' | 'levelDbmv' | 'tiltDb' | 'flatnessDb' | 'merMarginDb' | 'ambientC'
>;

/** Hour by hour, from the engine's summaries; a time is the start of its hour. */
export async function hourlyColumns(
  db: Db,
  siteId: number,
  pointId: number,
  { fromMs, toMs }: Span,
): Promise<Columns> {
  const rows = await db
    .selectFrom('hourly')
    .select(['hour', 'level_dbmv', 'tilt_db', 'flatness_db', 'mer_margin_db', 'ambient_c'])
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .where('hour', '>=', new Date(fromMs))
    .where('hour', '<=', new Date(toMs))
    .orderBy('hour')
    .execute();
  return {
    times: rows.map(({ hour }) => hour.getTime() / 1000),
    levelDbmv: rows.map(({ level_dbmv }) => level_dbmv),
    tiltDb: rows.map(({ tilt_db }) => tilt_db),
    flatnessDb: rows.map(({ flatness_db }) => flatness_db),
    merMarginDb: rows.map(({ mer_margin_db }) => mer_margin_db),
    ambientC: rows.map(({ ambient_c }) => ambient_c),
  };
}

/** Sweep by sweep, each fitted by itself. */
export async function sweepColumns(
  db: Db,
  siteId: number,
  pointId: number,
  { fromMs, toMs }: Span,
  planVersions: readonly PlanVersion[],
  limitSet: LimitSet,
): Promise<Columns> {
  const sweeps = await readSweeps(db, siteId, pointId, fromMs, toMs + 1);
  const readings = sweeps.map((sweep) =>
    readCarriers(carriersOf(sweep), planInForce(planVersions, sweep.atMs), limitSet),
  );
  return {
    times: sweeps.map(({ atMs }) => atMs / 1000),
    levelDbmv: readings.map(({ line }) => line?.levelDbmv ?? null),
    tiltDb: readings.map(({ line }) => line?.tiltDb ?? null),
    flatnessDb: readings.map((reading) => reading.flatnessDb),
    merMarginDb: readings.map(({ worst }) => worst?.marginDb ?? null),
    ambientC: sweeps.map(({ ambientC }) => ambientC),
  };
}
