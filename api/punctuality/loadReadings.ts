import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { windowsOf } from '../maintenance/windowsAt.ts';
import type { Arrived } from './types.ts';

/** Enough to tell what a point usually does, and few enough to read whenever a site is ranked. */
const LOOKED_AT = 80;

interface Row {
  readonly point_id: number;
  readonly at: Date;
  readonly instrument: string;
  readonly channels: number;
  readonly repeats: boolean;
}

/** The newest sweeps of a site's points by point, newest first, those of maintenance windows left out. */
export async function loadReadings(db: Db, siteId: number): Promise<Map<number, Arrived[]>> {
  const { rows } = await sql<Row>`
    select point.point_id, newest.at, newest.instrument,
      cardinality(array_remove(newest.level_cdbmv, null)) + coalesce(cardinality(newest.lost_hz), 0) as channels,
      coalesce(
        newest.instrument = lead(newest.instrument) over earlier
        and newest.grid_id = lead(newest.grid_id) over earlier
        and newest.level_cdbmv = lead(newest.level_cdbmv) over earlier
        and newest.mer_cdb is not distinct from lead(newest.mer_cdb) over earlier
        and newest.cnr_cdb is not distinct from lead(newest.cnr_cdb) over earlier,
        false
      ) as repeats
    from point
    cross join lateral (
      select * from sweep
      where sweep.site_id = point.site_id and sweep.point_id = point.point_id
        and not exists (
          select 1 from (${windowsOf(siteId)}) as held where held.from_at <= sweep.at and sweep.at < held.to_at
        )
      order by sweep.at desc, sweep.instrument
      limit ${LOOKED_AT}
    ) as newest
    where point.site_id = ${siteId}
    window earlier as (partition by point.point_id order by newest.at desc, newest.instrument)
    order by point.point_id, newest.at desc, newest.instrument`.execute(db);
  const arrived = rows.map(({ point_id, at, ...row }) => ({ ...row, point_id, atMs: at.getTime() }));
  return Map.groupBy(arrived, ({ point_id }) => point_id);
}
