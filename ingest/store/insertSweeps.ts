import type pg from 'pg';
import type { CheckedSweep } from '../contract/checkedSweep.ts';
import { createDatabaseOn, type Db } from './database.ts';

/** A checked sweep whose point and grid are known. Identity is (site, point, at, instrument). */
export interface PlacedSweep extends CheckedSweep {
  readonly pointId: number;
  readonly gridId: number;
}

/**
 * The columns of a batch, side by side, as `unnest` takes them. Those that hold an array a sweep come as one text,
 * which costs both ends less than an array of quoted arrays.
 */
const COLUMNS = `unnest($2::bigint[], $3::timestamptz[], $4::text[], $5::bigint[], string_to_array($6, ';', ''),
    string_to_array($7, ';', ''), string_to_array($8, ';', ''), string_to_array($9, ';', ''),
    string_to_array($10, ';', ''), string_to_array($11, ';', ''), $12::smallint[])
    as sent (point_id, at, instrument, grid_id, level, mer, cnr, ber_pre, ber_post, lost, ambient)`;

const INSERT = `
  insert into sweep (site_id, point_id, at, instrument, received_at, grid_id, level_cdbmv, mer_cdb, cnr_cdb,
    ber_pre, ber_post, lost_hz, ambient_cc)
  select site.site_id, sent.point_id, sent.at, sent.instrument, $13::timestamptz, sent.grid_id,
    sent.level::smallint[], sent.mer::smallint[], sent.cnr::smallint[],
    sent.ber_pre::real[], sent.ber_post::real[], sent.lost::integer[], sent.ambient
  from site, ${COLUMNS}
  where site.site_id = $1
  on conflict do nothing
  returning point_id, (extract(epoch from at) * 1000)::bigint as at_ms, instrument`;

const COMPARE = `
  select sweep.point_id, (extract(epoch from sweep.at) * 1000)::bigint as at_ms, sweep.instrument,
    sweep.grid_id = sent.grid_id
      and sweep.level_cdbmv = sent.level::smallint[]
      and sweep.mer_cdb is not distinct from sent.mer::smallint[]
      and sweep.cnr_cdb is not distinct from sent.cnr::smallint[]
      and sweep.ber_pre is not distinct from sent.ber_pre::real[]
      and sweep.ber_post is not distinct from sent.ber_post::real[]
      and sweep.lost_hz is not distinct from sent.lost::integer[]
      and sweep.ambient_cc is not distinct from sent.ambient as same
  from ${COLUMNS}
  join sweep on sweep.site_id = $1 and sweep.point_id = sent.point_id and sweep.at = sent.at
    and sweep.instrument = sent.instrument`;

const ANNOUNCE = `
  insert into arrival (site_id, point_id, first_at)
  select site.site_id, sent.point_id, sent.first_at
  from site, unnest($2::bigint[], $3::timestamptz[]) as sent (point_id, first_at)
  where site.site_id = $1`;

interface Stored {
  point_id: number;
  at_ms: number;
  instrument: string;
}

/** Which of the sweeps are new, and which were there already with other numbers. The rest are duplicates. */
export interface Inserted {
  readonly fresh: readonly PlacedSweep[];
  readonly conflicting: readonly PlacedSweep[];
}

/** What else is written with new sweeps, in their transaction; where it fails, none is stored. */
export type Alongside = (db: Db) => Promise<void>;

/**
 * Stores one site's sweeps and tells the engine of the new ones, in one transaction; resolves after the commit.
 * No two of them may share their identity. Sending again what is stored changes nothing.
 */
export async function insertSweeps(
  pool: pg.Pool,
  siteId: number,
  sweeps: readonly PlacedSweep[],
  nowMs: number,
  alongside?: Alongside,
): Promise<Inserted> {
  // One order for all senders: two batches that share rows wait for each other instead of locking each other out.
  const rising = [...sweeps].sort(
    (a, b) => a.pointId - b.pointId || a.atMs - b.atMs || (a.instrument < b.instrument ? -1 : 1),
  );
  const client = await pool.connect();
  let broken: Error | undefined;
  try {
    await client.query('begin');
    const inserted = await insertBatch(client, siteId, rising, nowMs);
    if (inserted.fresh.length > 0) await alongside?.(createDatabaseOn(client));
    await client.query('commit');
    return inserted;
  } catch (error) {
    await client.query('rollback').catch((failure: Error) => {
      broken = failure;
    });
    throw error;
  } finally {
    client.release(broken);
  }
}

async function insertBatch(
  client: pg.PoolClient,
  siteId: number,
  sweeps: readonly PlacedSweep[],
  nowMs: number,
): Promise<Inserted> {
  const { rows } = await client.query<Stored>({
    name: 'insert-sweeps',
    text: INSERT,
    values: [siteId, ...columnsOf(sweeps), new Date(nowMs).toISOString()],
  });
  const stored = new Set(rows.map((row) => identityOf(row.point_id, row.at_ms, row.instrument)));
  const fresh = sweeps.filter((sweep) => stored.has(identityOf(sweep.pointId, sweep.atMs, sweep.instrument)));
  const known = sweeps.filter(
    (sweep) => !stored.has(identityOf(sweep.pointId, sweep.atMs, sweep.instrument)),
  );

  if (fresh.length > 0) await announce(client, siteId, fresh);
  return { fresh, conflicting: known.length === 0 ? [] : await conflicts(client, siteId, known) };
}

async function conflicts(
  client: pg.PoolClient,
  siteId: number,
  known: readonly PlacedSweep[],
): Promise<PlacedSweep[]> {
  const { rows } = await client.query<Stored & { same: boolean }>({
    name: 'compare-sweeps',
    text: COMPARE,
    values: [siteId, ...columnsOf(known)],
  });
  const same = new Set(
    rows.filter((row) => row.same).map((row) => identityOf(row.point_id, row.at_ms, row.instrument)),
  );
  return known.filter((sweep) => !same.has(identityOf(sweep.pointId, sweep.atMs, sweep.instrument)));
}

/** One row a point: from when on it has news. */
async function announce(client: pg.PoolClient, siteId: number, fresh: readonly PlacedSweep[]): Promise<void> {
  const firstAtMs = new Map<number, number>();
  for (const { pointId, atMs } of fresh) {
    firstAtMs.set(pointId, Math.min(atMs, firstAtMs.get(pointId) ?? Infinity));
  }
  await client.query({
    name: 'announce-sweeps',
    text: ANNOUNCE,
    values: [siteId, [...firstAtMs.keys()], [...firstAtMs.values()].map((ms) => new Date(ms).toISOString())],
  });
}

function columnsOf(sweeps: readonly PlacedSweep[]): unknown[] {
  return [
    sweeps.map((sweep) => sweep.pointId),
    sweeps.map((sweep) => new Date(sweep.atMs).toISOString()),
    sweeps.map((sweep) => sweep.instrument),
    sweeps.map((sweep) => sweep.gridId),
    sweeps.map((sweep) => sweep.level).join(';'),
    sweeps.map((sweep) => sweep.mer ?? '').join(';'),
    sweeps.map((sweep) => sweep.cnr ?? '').join(';'),
    sweeps.map((sweep) => sweep.berPre ?? '').join(';'),
    sweeps.map((sweep) => sweep.berPost ?? '').join(';'),
    sweeps.map((sweep) => sweep.lost ?? '').join(';'),
    sweeps.map((sweep) => sweep.ambientCc),
  ];
}

/** The identity of a sweep within its site, as a key for maps. */
export function identityOf(pointId: number, atMs: number, instrument: string): string {
  return `${pointId} ${atMs} ${instrument}`;
}
