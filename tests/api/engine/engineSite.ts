import { sql } from 'kysely';
import type pg from 'pg';
import type { Db } from '../../../ingest/store/database.ts';
import { normalNoise } from '../trend/noise.ts';

export const DAY_MS = 86_400_000;
const LATER_MS = 20 * 60_000;
export const HISTORY_START_MS = Date.UTC(2026, 2, 2, 5);
const FREQ_HZ = [57, 63, 69, 79, 85, 93, 99, 105, 177, 183].map((mhz) => mhz * 1_000_000);

export interface TestSweep {
  readonly point: number;
  readonly atMs: number;
  readonly instrument: string;
  readonly levelCdbmv: (number | null)[];
  readonly merCdb: number[];
  readonly lostHz: number[] | null;
  readonly ambientCc: number;
}

/**
 * A site with a handoff and an outlet, both with an accepted baseline of flat 20 dBmV from the first sweep on. Points have the same
 * numbers at every site, so that what the engine keeps of one site compares with what it keeps of another.
 */
export async function makeSite(db: Db): Promise<{ siteId: number; pointIds: number[] }> {
  const site = await db
    .insertInto('site')
    .values({ name: 'Mill House', time_zone: 'America/Chicago', outlets: 40 })
    .returning('site_id')
    .executeTakeFirstOrThrow();
  const siteId = site.site_id;
  await db.insertInto('grid').values({ site_id: siteId, freq_hz: FREQ_HZ }).execute();
  await sql`insert into point (site_id, point_id, name, kind, interval_s, fed_by) overriding system value
    values (${siteId}, 1, 'handoff', 'handoff', 14400, null), (${siteId}, 2, 'outlet', 'outlet', 14400, 1)`.execute(
    db,
  );
  const pointIds = [1, 2];
  for (const pointId of pointIds) await makeBaseline(db, siteId, pointId, 1, HISTORY_START_MS);
  return { siteId, pointIds };
}

export async function makeBaseline(
  db: Db,
  siteId: number,
  pointId: number,
  version: number,
  fromMs: number,
  levelDbmv = 20,
): Promise<void> {
  await db
    .insertInto('baseline')
    .values({
      site_id: siteId,
      point_id: pointId,
      version,
      effective_from: new Date(fromMs),
      from_at: new Date(fromMs - 2 * DAY_MS),
      to_at: new Date(fromMs),
      sweeps: 100,
      instruments: ['probe-1'],
      freq_hz: FREQ_HZ,
      level_cdbmv: FREQ_HZ.map(() => levelDbmv * 100),
      level_spread_cdb: FREQ_HZ.map(() => 30),
      mer_cdb: FREQ_HZ.map(() => 4000),
      mer_spread_cdb: FREQ_HZ.map(() => 40),
      cnr_cdb: null,
      level_dbmv: levelDbmv,
      tilt_db: 0,
      flatness_db: 0,
      worst_mer_margin_db: 10,
      ambient_c: 20,
      exception_note: null,
      accepted_by: 'A. Person',
      accepted_at: new Date(fromMs),
    })
    .execute();
}

/**
 * 30 days of four-hourly sweeps of both points with a step, a drift, a lost channel and a new instrument. The outlet is swept at the
 * moment of the handoff every other time, and twenty minutes later else.
 */
export function history(seed: number, days = 30): TestSweep[] {
  const normal = normalNoise(seed);
  const sweeps: TestSweep[] = [];
  for (let step = 0; step < days * 6; step++) {
    const day = step / 6;
    const ambient = 20 + 8 * Math.sin(2 * Math.PI * day);
    for (const point of [0, 1]) {
      const fault = point === 0 ? (day >= 12.3 ? -3 : 0) : -0.15 * Math.max(0, day - 10);
      const lost = point === 1 && day >= 15 && day < 17;
      const shared = 0.1 * normal() - 0.03 * (ambient - 20) + fault;
      sweeps.push({
        point,
        atMs: HISTORY_START_MS + day * DAY_MS + (point === 1 && step % 2 === 1 ? LATER_MS : 0),
        instrument: point === 1 && day >= 20 ? 'meter-2' : 'probe-1',
        levelCdbmv: FREQ_HZ.map((_, i) =>
          lost && i === 3 ? null : Math.round(100 * (20 + shared + 0.2 * normal())),
        ),
        merCdb: FREQ_HZ.map(() => Math.round(100 * (40 + 0.3 * normal()))),
        lostHz: lost ? [FREQ_HZ[3]!] : null,
        ambientCc: Math.round(100 * ambient),
      });
    }
  }
  return sweeps;
}

/** The same without a fault, by one instrument. */
export function steady(seed: number, days: number): TestSweep[] {
  const normal = normalNoise(seed);
  return Array.from({ length: days * 6 }, (_, step) => [0, 1].map((point) => ({ step, point }))).flatMap(
    (pair) =>
      pair.map(({ step, point }) => {
        const shared = 0.1 * normal();
        return {
          point,
          atMs: HISTORY_START_MS + (step / 6) * DAY_MS + (point === 1 && step % 2 === 1 ? LATER_MS : 0),
          instrument: 'probe-1',
          levelCdbmv: FREQ_HZ.map(() => Math.round(100 * (20 + shared + 0.2 * normal()))),
          merCdb: FREQ_HZ.map(() => Math.round(100 * (40 + 0.3 * normal()))),
          lostHz: null,
          ambientCc: 2000,
        };
      }),
  );
}

/** Stores sweeps as the endpoint does: known ones are left, and each point's arrival says from when on there is news. */
export async function deliver(
  pool: pg.Pool,
  site: { siteId: number; pointIds: number[] },
  sweeps: readonly TestSweep[],
): Promise<void> {
  const client = await pool.connect();
  try {
    await client.query('begin');
    const first = new Map<number, number>();
    const { rows } = await client.query<{ point_id: number; at: Date }>(
      `insert into sweep (site_id, point_id, at, instrument, received_at, grid_id, level_cdbmv, mer_cdb, lost_hz, ambient_cc)
       select $1, s.point_id, s.at, s.instrument, now(), grid_id, level::smallint[], mer::smallint[], lost::int[], ambient
       from grid, jsonb_to_recordset($2) as s (point_id bigint, at timestamptz, instrument text, level text, mer text, lost text, ambient smallint)
       where site_id = $1 on conflict do nothing returning point_id, at`,
      [
        site.siteId,
        JSON.stringify(
          sweeps.map((sweep) => ({
            point_id: site.pointIds[sweep.point],
            at: new Date(sweep.atMs),
            instrument: sweep.instrument,
            level: arrayText(sweep.levelCdbmv),
            mer: arrayText(sweep.merCdb),
            lost: sweep.lostHz && arrayText(sweep.lostHz),
            ambient: sweep.ambientCc,
          })),
        ),
      ],
    );
    for (const { point_id, at } of rows) {
      const point = site.pointIds.indexOf(point_id);
      first.set(point, Math.min(first.get(point) ?? Number.POSITIVE_INFINITY, at.getTime()));
    }
    for (const [point, atMs] of first) {
      await client.query('insert into arrival (site_id, point_id, first_at) values ($1, $2, $3)', [
        site.siteId,
        site.pointIds[point],
        new Date(atMs),
      ]);
    }
    await client.query('commit');
  } finally {
    client.release();
  }
}

function arrayText(values: readonly (number | null)[]): string {
  return `{${values.map((value) => value ?? 'NULL').join(',')}}`;
}

/** All that the engine concluded about a site. `told_at` is left out: after going back it says when a finding was told again. */
export async function conclusions(pool: pg.Pool, { siteId }: { siteId: number }) {
  const read = async (sql: string) => {
    const { rows } = await pool.query(sql, [siteId]);
    return rows.map(({ site_id, told_at, ...rest }) => rest);
  };
  return {
    findings: await read('select * from finding where site_id = $1 order by point_id, event'),
    hours: await read('select * from hourly where site_id = $1 order by point_id, hour'),
    shared: await read('select * from site_state where site_id = $1'),
    states: await read('select * from point_state where site_id = $1 order by point_id'),
  };
}
