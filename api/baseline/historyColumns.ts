import type { Db } from '../../ingest/store/database.ts';
import { readSweeps } from '../../ingest/store/readSweeps.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { compareAt } from '../engine/compareAt.ts';
import type { PointContext } from '../engine/pointContext.ts';
import type { HistoryView } from '../schemas/site.ts';
import { observe } from '../trend/observe.ts';

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

/** Sweep by sweep, each observed as the engine does, so that the two resolutions tell the same. */
export async function sweepColumns(
  db: Db,
  siteId: number,
  pointId: number,
  { fromMs, toMs }: Span,
  context: Omit<PointContext, 'compared'>,
): Promise<Columns> {
  const sweeps = await readSweeps(db, siteId, pointId, fromMs, toMs + 1);
  const gridIdOf = gridNumbers();
  const point = { ...context, compared: new Map() };
  const observed = sweeps.map((sweep) =>
    observe(sweep, compareAt(point, gridIdOf(sweep), sweep.freqMhz, sweep.atMs).frame),
  );
  return {
    times: observed.map(({ atMs }) => atMs / 1000),
    levelDbmv: observed.map(({ levelDbmv }) => levelDbmv),
    tiltDb: observed.map(({ tiltDb }) => tiltDb),
    flatnessDb: observed.map(({ flatnessDb }) => flatnessDb),
    merMarginDb: observed.map(({ merMarginDb }) => merMarginDb),
    ambientC: observed.map(({ ambientC }) => ambientC),
  };
}

/** Numbers grids as they are met: sweeps of the same frequencies share one. */
function gridNumbers(): (sweep: Sweep) => number {
  const numbers = new Map<string, number>();
  return ({ freqMhz }) => {
    const key = freqMhz.join(' ');
    const known = numbers.get(key) ?? numbers.size + 1;
    numbers.set(key, known);
    return known;
  };
}
