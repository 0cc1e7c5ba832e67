import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { parseIntegers } from '../engine/parseIntegers.ts';
import { windowsOf } from '../maintenance/windowsAt.ts';

/** An odd number, so that a single wild sweep never makes the median. */
const NEWEST = 3;

/** Arrays as PostgreSQL's text: taking them apart here is several times quicker than the driver's way. */
interface NewestRow {
  readonly point_id: number;
  readonly at: Date;
  readonly instrument: string;
  readonly grid_id: number;
  readonly level: string;
  readonly mer: string | null;
  readonly cnr: string | null;
  readonly lost_hz: number[] | null;
  readonly ambient_cc: number | null;
}

/**
 * The newest few sweeps of every point of a site, newest first, by point; those of maintenance windows and error ratios are left out.
 */
export async function latestSweeps(db: Db, siteId: number): Promise<Map<number, Sweep[]>> {
  const { rows } = await sql<NewestRow>`
    select newest.point_id, newest.at, newest.instrument, newest.grid_id, newest.level_cdbmv::text as level,
      newest.mer_cdb::text as mer, newest.cnr_cdb::text as cnr, newest.lost_hz, newest.ambient_cc
    from point
    cross join lateral (
      select * from sweep
      where sweep.site_id = point.site_id and sweep.point_id = point.point_id
        and not exists (
          select 1 from (${windowsOf(siteId)}) as held where held.from_at <= sweep.at and sweep.at < held.to_at
        )
      order by at desc, instrument
      limit ${NEWEST}
    ) as newest
    where point.site_id = ${siteId}
    order by newest.point_id, newest.at desc, newest.instrument`.execute(db);
  const grids = await gridsMhz(db, siteId, new Set(rows.map(({ grid_id }) => grid_id)));

  const byPoint = new Map<number, Sweep[]>();
  for (const row of rows) {
    const sweeps = byPoint.get(row.point_id) ?? [];
    sweeps.push(toSweep(row, grids.get(row.grid_id)!));
    byPoint.set(row.point_id, sweeps);
  }
  return byPoint;
}

/** Sweeps of a site share a grid or two, so each is read once. */
async function gridsMhz(
  db: Db,
  siteId: number,
  gridIds: ReadonlySet<number>,
): Promise<Map<number, number[]>> {
  if (gridIds.size === 0) return new Map();
  const grids = await db
    .selectFrom('grid')
    .select(['grid_id', 'freq_hz'])
    .where('site_id', '=', siteId)
    .where('grid_id', 'in', [...gridIds])
    .execute();
  return new Map(grids.map(({ grid_id, freq_hz }) => [grid_id, freq_hz.map((hz) => hz / 1e6)]));
}

function toSweep(row: NewestRow, freqMhz: readonly number[]): Sweep {
  const inDb = (text: string) => parseIntegers(text, 100, freqMhz.length);
  return {
    atMs: row.at.getTime(),
    instrument: row.instrument,
    ambientC: row.ambient_cc === null ? null : row.ambient_cc / 100,
    freqMhz,
    levelDbmv: inDb(row.level),
    merDb: row.mer === null ? null : inDb(row.mer),
    cnrDb: row.cnr === null ? null : inDb(row.cnr),
    berPre: null,
    berPost: null,
    lostMhz: (row.lost_hz ?? []).map((hz) => hz / 1e6),
  };
}
