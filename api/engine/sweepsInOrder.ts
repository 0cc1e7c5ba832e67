import type pg from 'pg';
import type { Sweep } from '../../ingest/sweep.ts';
import { parseIntegers } from './parseIntegers.ts';

/** So many rows come from the database at a time, shared among the points that are read. */
const ROWS_AT_A_TIME = 2000;

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

/** What has been read of one point and not yet been given out. */
interface Ahead {
  readonly pointId: number;
  rows: SweepText[];
  next: number;
  /** Reading goes on after this moment, or at it after this instrument. */
  afterMs: number | null;
  afterInstrument: string | null;
  ended: boolean;
}

const ROWS_SQL = `
  select p.point_id, (extract(epoch from s.at) * 1000)::float8, s.instrument, s.grid_id,
    s.level_cdbmv::text, s.mer_cdb::text, s.cnr_cdb::text, s.lost_hz::text, s.ambient_cc
  from unnest($2::bigint[], $3::timestamptz[], $4::text[]) as p (point_id, after_at, after_instrument)
  cross join lateral (
    select * from sweep
    where sweep.site_id = $1 and sweep.point_id = p.point_id and sweep.at >= p.after_at
      and (sweep.at > p.after_at or sweep.instrument > p.after_instrument)
    order by sweep.at, sweep.instrument
    limit $5
  ) s
  order by p.point_id, s.at, s.instrument`;

/**
 * Sweeps of some points of a site after a moment (null: all of them), merged in order of time, point and instrument, in
 * pages of bounded size. Error ratios are left out: the engine doesn't use them.
 */
export async function* sweepsInOrder(
  client: pg.ClientBase,
  siteId: number,
  pointIds: readonly number[],
  afterMs: number | null,
): AsyncGenerator<SweepText[]> {
  const limit = Math.ceil(ROWS_AT_A_TIME / Math.max(1, pointIds.length));
  let open = pointIds
    .toSorted((a, b) => a - b)
    .map((pointId): Ahead => ({ pointId, rows: [], next: 0, afterMs, afterInstrument: null, ended: false }));
  while (open.length > 0) {
    await readOn(client, siteId, open.filter(isUsedUp), limit);
    const page = merged(open);
    if (page.length > 0) yield page;
    open = open.filter((ahead) => !(ahead.ended && isUsedUp(ahead)));
  }
}

function isUsedUp({ rows, next }: Ahead): boolean {
  return next === rows.length;
}

async function readOn(
  client: pg.ClientBase,
  siteId: number,
  points: readonly Ahead[],
  limit: number,
): Promise<void> {
  const { rows } = await client.query<SweepText>({
    name: 'engine sweeps',
    text: ROWS_SQL,
    values: [
      siteId,
      points.map(({ pointId }) => pointId),
      points.map(({ afterMs }) => (afterMs === null ? '-infinity' : new Date(afterMs))),
      points.map(({ afterInstrument }) => afterInstrument),
      limit,
    ],
    rowMode: 'array',
  });
  const byPoint = Map.groupBy(rows, ([pointId]) => pointId);
  for (const ahead of points) {
    ahead.rows = byPoint.get(ahead.pointId) ?? [];
    ahead.next = 0;
    ahead.ended = ahead.rows.length < limit;
    const last = ahead.rows.at(-1);
    if (last) [, ahead.afterMs, ahead.afterInstrument] = last;
  }
}

/** Takes rows off in order until more of a point has to be read. `points` rise by number. */
function merged(points: readonly Ahead[]): SweepText[] {
  const page: SweepText[] = [];
  for (;;) {
    let first: Ahead | null = null;
    for (const ahead of points) {
      if (isUsedUp(ahead)) {
        if (!ahead.ended) return page;
      } else if (first === null || ahead.rows[ahead.next]![1] < first.rows[first.next]![1]) first = ahead;
    }
    if (first === null) return page;
    page.push(first.rows[first.next++]!);
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
