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

export interface ReadSweep {
  readonly gridId: number;
  readonly sweep: Sweep;
}

type Row = [
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
  gridMhz: (gridId: number) => Promise<readonly number[]>,
): AsyncGenerator<Map<number, ReadSweep[]>> {
  let open = from;
  while (open.length > 0) {
    const { rows } = await client.query<Row>({
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
    const page = new Map<number, ReadSweep[]>();
    for (const row of rows) {
      const list = page.get(row[0]) ?? [];
      if (list.length === 0) page.set(row[0], list);
      list.push({ gridId: row[3], sweep: toSweep(row, await gridMhz(row[3])) });
    }
    yield page;
    open = [...page]
      .filter(([, list]) => list.length === PAGE_SWEEPS)
      .map(([pointId, list]) => {
        const { sweep } = list[list.length - 1]!;
        return { pointId, afterMs: sweep.atMs, afterInstrument: sweep.instrument };
      });
  }
}

function toSweep(row: Row, freqMhz: readonly number[]): Sweep {
  return {
    atMs: row[1],
    instrument: row[2],
    ambientC: row[8] === null ? null : row[8] / 100,
    freqMhz,
    levelDbmv: parseIntegers(row[4], 100),
    merDb: row[5] === null ? null : parseIntegers(row[5], 100),
    cnrDb: row[6] === null ? null : parseIntegers(row[6], 100),
    berPre: null,
    berPost: null,
    lostMhz: row[7] === null ? NONE : (parseIntegers(row[7], 1e6) as number[]),
  };
}

const NONE: readonly number[] = [];
