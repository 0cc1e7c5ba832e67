import type pg from 'pg';
import type { Sweep } from '../../ingest/sweep.ts';
import { parseIntegers } from './parseIntegers.ts';

const PAGE_SWEEPS = 500;

/** Where reading of one point goes on: after this moment, or at it after this instrument. */
export interface ReadFrom {
  readonly pointId: number;
  readonly afterMs: number | null;
  readonly afterInstrument: string | null;
}

/** A sweep as the database sent it; {@link toSweep} makes the numbers, one sweep at a time, so that they don't pile up. */
export type SweepText = [
  pointId: number,
  atMs: number,
  instrument: string,
  gridId: number,
  level: string,
  mer: string | null,
  cnr: string | null,
  lostHz: string | null,
  ambientCc: number | null,
];

const PAGE_SQL = `
  select p.point_id, (extract(epoch from s.at) * 1000)::float8, s.instrument, s.grid_id,
    s.level_cdbmv::text, s.mer_cdb::text, s.cnr_cdb::text, s.lost_hz::text, s.ambient_cc
  from unnest($2::bigint[], $3::timestamptz[], $4::text[]) as p (point_id, after_at, after_instrument)
  cross join lateral (
    select * from sweep
    where sweep.site_id = $1 and sweep.point_id = p.point_id and sweep.at >= p.after_at
      and (sweep.at > p.after_at or sweep.instrument > p.after_instrument)
    order by sweep.at, sweep.instrument
    limit ${PAGE_SWEEPS}
  ) s
  order by p.point_id, s.at, s.instrument`;

/**
 * Sweeps of several points of a site, each point's in order of time and instrument, in pages of bounded size. Error ratios are left
 * out: the engine doesn't use them.
 */
export async function* readSweepPages(
  client: pg.ClientBase,
  siteId: number,
  from: readonly ReadFrom[],
): AsyncGenerator<Map<number, SweepText[]>> {
  let open = from;
  while (open.length > 0) {
    const { rows } = await client.query<SweepText>({
      name: 'engine sweep page',
      text: PAGE_SQL,
      values: [
        siteId,
        open.map(({ pointId }) => pointId),
        open.map(({ afterMs }) => (afterMs === null ? '-infinity' : new Date(afterMs))),
        open.map(({ afterInstrument }) => afterInstrument),
      ],
      rowMode: 'array',
    });
    const page = new Map<number, SweepText[]>();
    for (const row of rows) {
      const list = page.get(row[0]) ?? [];
      if (list.length === 0) page.set(row[0], list);
      list.push(row);
    }
    yield page;
    open = [...page]
      .filter(([, list]) => list.length === PAGE_SWEEPS)
      .map(([pointId, list]) => {
        const [, afterMs, afterInstrument] = list[list.length - 1]!;
        return { pointId, afterMs, afterInstrument };
      });
  }
}

const NONE: readonly number[] = [];

/** The sweep, on the frequencies of its grid, MHz. */
export function toSweep(row: SweepText, freqMhz: readonly number[]): Sweep {
  const [, atMs, instrument, , level, mer, cnr, lostHz, ambientCc] = row;
  const count = freqMhz.length;
  return {
    atMs,
    instrument,
    ambientC: ambientCc === null ? null : ambientCc / 100,
    freqMhz,
    levelDbmv: parseIntegers(level, 100, count),
    merDb: mer === null ? null : parseIntegers(mer, 100, count),
    cnrDb: cnr === null ? null : parseIntegers(cnr, 100, count),
    berPre: null,
    berPost: null,
    lostMhz: lostHz === null ? NONE : (parseIntegers(lostHz, 1e6, 0) as number[]),
  };
}
