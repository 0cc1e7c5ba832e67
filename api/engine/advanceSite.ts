import type pg from 'pg';
import type { Db } from '../../ingest/store/database.ts';
import { emptyState } from '../trend/state.ts';
import { claimPoints } from './claimPoints.ts';
import { loadSiteContext, type SiteContext, siteFingerprint } from './loadSiteContext.ts';
import { type PointReplay, startReplay, takeSweeps } from './pointReplay.ts';
import { readSweepPages, type SweepText } from './readSweepPages.ts';
import { writeReplays } from './writeReplays.ts';

const SERIALIZATION_FAILURE = '40001';
const SITES_KEPT = 500;

export interface EngineDeps {
  readonly db: Db;
  readonly pool: pg.Pool;
}

/** Contexts of the sites met lately: they seldom change, and a fingerprint says when one has. */
export type SiteContexts = Map<number, SiteContext>;

/**
 * Brings the points of one site up to date with what has arrived, in one transaction: a worker that dies leaves nothing half done,
 * and another takes over. The points come together, so that what they have in common can be told from what only one of them does.
 * Returns the number of sweeps taken in; null when other workers hold the points.
 */
export async function advanceSite(
  { db, pool }: EngineDeps,
  contexts: SiteContexts,
  siteId: number,
  pointIds: readonly number[],
  nowMs: number,
): Promise<number | null> {
  const client = await pool.connect();
  let broken: Error | undefined;
  try {
    await client.query('begin isolation level repeatable read');
    const sweeps = await advanceClaimed(client, db, contexts, siteId, pointIds, nowMs);
    await client.query('commit');
    return sweeps;
  } catch (error) {
    broken = error as Error;
    await client.query('rollback').then(
      () => (broken = undefined),
      () => {},
    );
    if ((error as { code?: string }).code === SERIALIZATION_FAILURE) return null;
    throw error;
  } finally {
    client.release(broken);
  }
}

async function advanceClaimed(
  client: pg.PoolClient,
  db: Db,
  contexts: SiteContexts,
  siteId: number,
  pointIds: readonly number[],
  nowMs: number,
): Promise<number | null> {
  const claimed = await claimPoints(client, siteId, pointIds);
  if (claimed.length === 0) return null;
  const context = await siteContext(client, db, contexts, siteId);
  const replays = new Map<number, PointReplay>();
  for (const { pointId, state, rewound } of claimed) {
    const point = context.points.get(pointId)!;
    replays.set(pointId, startReplay(pointId, point, state ?? emptyState(), rewound));
  }

  const from = [...replays.values()].map(({ pointId, startedMs }) => ({
    pointId,
    afterMs: startedMs,
    afterInstrument: null,
  }));
  let sweeps = 0;
  for await (const page of readSweepPages(client, siteId, from)) {
    for (const [pointId, rows] of page) {
      await readGrids(client, siteId, context.grids, rows);
      takeSweeps(replays.get(pointId)!, rows, context.grids);
      sweeps += rows.length;
    }
  }
  await writeReplays(client, siteId, [...replays.values()], nowMs);
  return sweeps;
}

async function siteContext(
  client: pg.PoolClient,
  db: Db,
  contexts: SiteContexts,
  siteId: number,
): Promise<SiteContext> {
  const fingerprint = await siteFingerprint(client, siteId);
  const known = contexts.get(siteId);
  if (known?.fingerprint === fingerprint) return known;
  const loaded = await loadSiteContext(db, siteId, fingerprint);
  contexts.delete(siteId);
  contexts.set(siteId, loaded);
  if (contexts.size > SITES_KEPT) contexts.delete(contexts.keys().next().value!);
  return loaded;
}

async function readGrids(
  client: pg.PoolClient,
  siteId: number,
  grids: Map<number, readonly number[]>,
  sweeps: readonly SweepText[],
): Promise<void> {
  const unknown = new Set<number>();
  for (const sweep of sweeps) if (!grids.has(sweep[3])) unknown.add(sweep[3]);
  if (unknown.size === 0) return;
  const { rows } = await client.query<{ grid_id: number; freq_hz: number[] }>(
    'select grid_id, freq_hz from grid where site_id = $1 and grid_id = any($2)',
    [siteId, [...unknown]],
  );
  for (const { grid_id, freq_hz } of rows)
    grids.set(
      grid_id,
      freq_hz.map((hz) => hz / 1e6),
    );
}
