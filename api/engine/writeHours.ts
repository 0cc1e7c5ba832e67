import type pg from 'pg';
import type { PointHour } from './siteRun.ts';

const ROWS_A_STATEMENT = 4000;

/** Writes hours of a site's points in place of what stood there. */
export async function writeHours(
  client: pg.ClientBase,
  siteId: number,
  hours: readonly PointHour[],
): Promise<void> {
  for (let from = 0; from < hours.length; from += ROWS_A_STATEMENT) {
    const part = hours.slice(from, from + ROWS_A_STATEMENT);
    const column = (pick: (hour: PointHour) => unknown) => part.map(pick);
    await client.query({
      name: 'engine write hours',
      text: `
        insert into hourly (site_id, point_id, hour, sweeps, level_dbmv, level_dev_db, tilt_db, tilt_dev_db,
          flatness_db, mer_margin_db, ambient_c)
        select $1, * from unnest($2::bigint[], $3::timestamptz[], $4::smallint[], $5::real[], $6::real[],
          $7::real[], $8::real[], $9::real[], $10::real[], $11::real[])
        on conflict (site_id, point_id, hour) do update set sweeps = excluded.sweeps,
          level_dbmv = excluded.level_dbmv, level_dev_db = excluded.level_dev_db,
          tilt_db = excluded.tilt_db, tilt_dev_db = excluded.tilt_dev_db,
          flatness_db = excluded.flatness_db, mer_margin_db = excluded.mer_margin_db,
          ambient_c = excluded.ambient_c`,
      values: [
        siteId,
        column(({ pointId }) => pointId),
        column(({ row }) => new Date(row.hourMs)),
        column(({ row }) => Math.min(row.sweeps, 32767)),
        column(({ row }) => row.levelDbmv),
        column(({ row }) => row.levelDevDb),
        column(({ row }) => row.tiltDb),
        column(({ row }) => row.tiltDevDb),
        column(({ row }) => row.flatnessDb),
        column(({ row }) => row.merMarginDb),
        column(({ row }) => row.ambientC),
      ],
    });
  }
}
