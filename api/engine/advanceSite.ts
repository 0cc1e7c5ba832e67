import type pg from 'pg';
import type { Db } from '../../ingest/store/database.ts';
import { claimSite } from './claimSite.ts';
import { loadSiteContext, type SiteContext, siteFingerprint } from './loadSiteContext.ts';
import { startRun, takePage } from './siteRun.ts';
import { type SweepText, sweepsInOrder } from './sweepsInOrder.ts';
import { writeRun } from './writeRun.ts';

const SERIALIZATION_FAILURE = '40001';
const SITES_KEPT = 500;

export interface EngineDeps {
  readonly db: Db;
  readonly pool: pg.Pool;
}

/** Contexts of the sites met lately: they seldom change, and a fingerprint says when one has. */
export type SiteContexts = Map<number, SiteContext>;

/**
 * Brings a site up to date with what has arrived, in one transaction: a worker that dies leaves nothing half done, and another takes
 * over. Returns the number of sweeps taken in; null when another worker holds the site.
 */
export async function advanceSite(
  { db, pool }: EngineDeps,
  contexts: SiteContexts,
  siteId: number,
): Promise<number | null> {
  const client = await pool.connect();
  let broken: Error | undefined;
  try {
    await client.query('begin isolation level repeatable read');
    const sweeps = await advanceClaimed(client, db, contexts, siteId);
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
): Promise<number | null> {
  const claimed = await claimSite(client, siteId);
  if (claimed === null) return null;
  const context = await siteContext(client, db, contexts, siteId);
  const run = startRun(claimed);
  for await (const page of sweepsInOrder(client, siteId, claimed.pointIds, claimed.startedMs)) {
    await readGrids(client, siteId, context.grids, page);
    takePage(run, context, page);
  }
  await writeRun(client, siteId, run);
  return run.sweeps;
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
