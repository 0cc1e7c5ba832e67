import type pg from 'pg';
import { keptFrom } from '../retention/keptFrom.ts';
import { emptySiteTrend, type SiteTrend } from '../trend/siteTrend.ts';
import { unpackTrend } from './packedTrend.ts';

/** A site with news, held by this transaction, and where its run starts. */
export interface ClaimedSite {
  readonly trend: SiteTrend;
  /** Every sweep up to and including this moment is in `trend`; null: none is. */
  readonly startedMs: number | null;
  /** Some of the news lies before what was taken in already, so the run goes back. */
  readonly rewound: boolean;
  /** Points that may have sweeps after the start. */
  readonly pointIds: readonly number[];
}

interface SiteRow {
  readonly last_at: Date | null;
  readonly state: SiteTrend['shared'] | null;
}

/**
 * Claims a site unless another worker holds it, takes its arrivals off the table, and finds the state to start from: its own when
 * all the news lies after it, otherwise the newest checkpoint before the news. Null when the site is held or has no news. Runs inside
 * a repeatable-read transaction, so that arrivals and sweeps are seen as of one moment.
 */
export async function claimSite(client: pg.ClientBase, siteId: number): Promise<ClaimedSite | null> {
  const held = await client.query<SiteRow>({
    name: 'engine claim',
    text: 'select last_at, state from site_state where site_id = $1 for update skip locked',
    values: [siteId],
  });
  const site = held.rows[0];
  if (site === undefined) return null;
  const arrivals = await client.query<{ point_id: number; first_at: Date }>({
    name: 'engine take arrivals',
    text: 'delete from arrival where site_id = $1 returning point_id, first_at',
    values: [siteId],
  });
  if (arrivals.rows.length === 0) return null;

  const firstMs = Math.min(...arrivals.rows.map(({ first_at }) => first_at.getTime()));
  const lastMs = site.last_at?.getTime() ?? null;
  const back = lastMs !== null && firstMs <= lastMs ? await backTo(client, siteId, firstMs) : null;
  return (
    back ?? {
      trend: await ownTrend(client, siteId, site.state),
      startedMs: lastMs,
      rewound: false,
      pointIds: [...new Set(arrivals.rows.map(({ point_id }) => point_id))],
    }
  );
}

async function ownTrend(client: pg.ClientBase, siteId: number, shared: SiteRow['state']): Promise<SiteTrend> {
  if (shared === null) return emptySiteTrend();
  const { rows } = await client.query<{ point_id: number; state: SiteTrend['points'][number] }>({
    name: 'engine point states',
    text: 'select point_id, state from point_state where site_id = $1 and state is not null',
    values: [siteId],
  });
  const points = Object.fromEntries(rows.map(({ point_id, state }) => [point_id, state]));
  return { version: 3, shared, points };
}

/** Null when no state is left to go back to, since the sweeps after every one have been let go. */
async function backTo(client: pg.ClientBase, siteId: number, firstMs: number): Promise<ClaimedSite | null> {
  const checkpoint = await checkpointFor(client, siteId, firstMs);
  if (checkpoint === 'none') return null;
  const points = await client.query<{ point_id: number }>('select point_id from point where site_id = $1', [
    siteId,
  ]);
  return {
    trend: checkpoint === null ? emptySiteTrend() : unpackTrend(checkpoint.state),
    startedMs: checkpoint?.at.getTime() ?? null,
    rewound: true,
    pointIds: points.rows.map(({ point_id }) => point_id),
  };
}

interface Checkpoint {
  readonly at: Date;
  readonly state: Buffer;
}

/**
 * The newest state before `firstMs`; null is the beginning. Where sweeps have been let go since that state, what came of them stands,
 * and it is the oldest state that all its later sweeps are still there for.
 */
async function checkpointFor(
  client: pg.ClientBase,
  siteId: number,
  firstMs: number,
): Promise<Checkpoint | null | 'none'> {
  const before = await client.query<Checkpoint>(
    'select at, state from checkpoint where site_id = $1 and at < $2 order by at desc limit 1',
    [siteId, new Date(firstMs)],
  );
  const checkpoint = before.rows[0] ?? null;
  const keptMs = await keptFrom(client, siteId);
  if (keptMs === null || (checkpoint !== null && checkpoint.at.getTime() >= keptMs)) return checkpoint;
  const after = await client.query<Checkpoint>(
    'select at, state from checkpoint where site_id = $1 and at >= $2 order by at limit 1',
    [siteId, new Date(keptMs)],
  );
  return after.rows[0] ?? 'none';
}
