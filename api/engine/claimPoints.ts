import type pg from 'pg';
import type { TrendState } from '../trend/state.ts';

/** A point with news, held by this transaction, and where its run starts. */
export interface ClaimedPoint {
  readonly pointId: number;
  /** Null: from nothing. */
  readonly state: TrendState | null;
  /** The news lies before what was taken in already, so the run goes back. */
  readonly rewound: boolean;
}

/**
 * Claims those of `pointIds` that no other worker holds, takes their arrivals off the table, and finds for each the state to start
 * from: its own when all the news lies after it, otherwise the newest checkpoint before the news. Runs inside
 * a repeatable-read transaction, so that arrivals and sweeps are seen as of one moment.
 */
export async function claimPoints(
  client: pg.ClientBase,
  siteId: number,
  pointIds: readonly number[],
): Promise<ClaimedPoint[]> {
  const held = await client.query<{ point_id: number; last_at: Date | null; state: TrendState | null }>({
    name: 'engine claim',
    text: `select point_id, last_at, state from point_state
      where site_id = $1 and point_id = any($2) order by point_id for update skip locked`,
    values: [siteId, pointIds],
  });
  if (held.rows.length === 0) return [];
  const arrivals = await client.query<{ point_id: number; first_at: Date }>({
    name: 'engine take arrivals',
    text: 'delete from arrival where site_id = $1 and point_id = any($2) returning point_id, first_at',
    values: [siteId, held.rows.map(({ point_id }) => point_id)],
  });
  const firstMs = new Map<number, number>();
  for (const { point_id, first_at } of arrivals.rows) {
    firstMs.set(point_id, Math.min(firstMs.get(point_id) ?? Number.POSITIVE_INFINITY, first_at.getTime()));
  }

  const claimed: ClaimedPoint[] = [];
  const goBack: number[] = [];
  for (const { point_id, last_at, state } of held.rows) {
    const first = firstMs.get(point_id);
    if (first === undefined) continue;
    if (last_at === null) claimed.push({ pointId: point_id, state: null, rewound: false });
    else if (first > last_at.getTime()) claimed.push({ pointId: point_id, state, rewound: false });
    else goBack.push(point_id);
  }
  const checkpoints = await checkpointsBefore(client, siteId, goBack, firstMs);
  for (const pointId of goBack) {
    claimed.push({ pointId, state: checkpoints.get(pointId) ?? null, rewound: true });
  }
  return claimed;
}

async function checkpointsBefore(
  client: pg.ClientBase,
  siteId: number,
  pointIds: readonly number[],
  firstMs: ReadonlyMap<number, number>,
): Promise<Map<number, TrendState>> {
  if (pointIds.length === 0) return new Map();
  const { rows } = await client.query<{ point_id: number; state: TrendState }>(
    `select p.point_id, c.state
     from unnest($2::bigint[], $3::timestamptz[]) as p (point_id, first_at)
     cross join lateral (
       select state from checkpoint
       where checkpoint.site_id = $1 and checkpoint.point_id = p.point_id and checkpoint.at < p.first_at
       order by checkpoint.at desc limit 1
     ) c`,
    [siteId, pointIds, pointIds.map((pointId) => new Date(firstMs.get(pointId)!))],
  );
  return new Map(rows.map(({ point_id, state }) => [point_id, state]));
}
