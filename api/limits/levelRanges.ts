import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { windowsOf } from '../maintenance/windowsAt.ts';

/**
 * How far a point's level has moved within a span up to a moment, dB: from the second lowest value to the second highest, as
 * one reading may be wild. Null with fewer than four.
 */
export interface LevelRanges {
  /** By the middle channel of each sweep. */
  readonly hourDb: number | null;
  /** By hourly medians of level at mid band. */
  readonly dayDb: number | null;
  readonly halfYearDb: number | null;
}

/**
 * The ranges of a site's points that have been read, by point, up to each one's newest sweep or to `atMs` where that is earlier.
 * Readings of maintenance windows don't count.
 *
 * @param pointId only this one; null: all
 */
export async function levelRanges(
  db: Db,
  siteId: number,
  pointId: number | null,
  atMs: number,
): Promise<Map<number, LevelRanges>> {
  const { rows } = await sql<{ point_id: number } & LevelRanges>`
    with held as (${windowsOf(siteId)})
    select state.point_id, last_hour.range as "hourDb", last_day.range as "dayDb", half_year.range as "halfYearDb"
    from (
      select site_id, point_id, least(last_at, ${new Date(atMs)}) as until
      from point_state
      where site_id = ${siteId} and last_at is not null
        and (${pointId}::bigint is null or point_id = ${pointId}::bigint)
    ) state
    cross join lateral (
      select ${rangeOf('level')} as range
      from (
        select (select percentile_disc(0.5) within group (order by cdbmv) from unnest(level_cdbmv) as cdbmv) / 100.0::float8 as level
        from sweep
        where sweep.site_id = state.site_id and sweep.point_id = state.point_id
          and sweep.at > state.until - interval '1 hour' and sweep.at <= state.until
          and not exists (select 1 from held where from_at <= sweep.at and sweep.at < to_at)
      ) levels
    ) last_hour
    cross join lateral (${rangeOfHours('24 hours')}) last_day
    cross join lateral (${rangeOfHours('6 months')}) half_year`.execute(db);
  return new Map(rows.map(({ point_id, ...ranges }) => [point_id, ranges]));
}

function rangeOfHours(span: string) {
  return sql`
    select ${rangeOf('level_dbmv')} as range
    from hourly
    where hourly.site_id = state.site_id and hourly.point_id = state.point_id
      and hourly.hour > state.until - ${span}::interval and hourly.hour <= state.until
      and not exists (select 1 from held where from_at < hourly.hour + interval '1 hour' and hourly.hour < to_at)`;
}

function rangeOf(column: string) {
  const level = sql.ref(column);
  return sql`case when count(${level}) >= 4 then
    (array_agg(${level} order by ${level} desc nulls last))[2] - (array_agg(${level} order by ${level} nulls last))[2]
  end`;
}
