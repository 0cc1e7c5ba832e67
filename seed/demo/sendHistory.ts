import type { Db } from '../../ingest/store/database.ts';
import { createSimulator } from '../simulator/simulator.ts';
import type { Deliver } from './deliver.ts';
import { historyBatches } from './history.ts';
import { historyPaces } from './pacing.ts';
import type { SetUpSite } from './setUpFleet.ts';

/** While one building's sweeps are written, the next one's are simulated. */
const SITES_AT_ONCE = 3;
/** A round over a building's points may have been cut short; sending it again is safe. */
const OVERLAP_MS = 600_000;

/**
 * Sends each building's sweeps from the last stored one, or from `fromMs` where there is none, up to `toMs`.
 * Says how many were sent. `nowMs` tells which days are recent; `signal` stops it between two batches.
 */
export async function sendHistory(
  db: Db,
  deliver: Deliver,
  sites: readonly SetUpSite[],
  { fromMs, toMs, nowMs }: { fromMs: number; toMs: number; nowMs: number },
  onShare: (share: number) => void,
  signal: AbortSignal,
): Promise<number> {
  const waiting = [...sites];
  let sent = 0;
  let finished = 0;

  const sendSites = async () => {
    for (let next = waiting.shift(); next; next = waiting.shift()) {
      const { site, siteId } = next;
      const lastMs = await lastSweepMs(db, siteId);
      const startMs = lastMs === null ? fromMs : lastMs - OVERLAP_MS;
      for (const batch of historyBatches(
        site,
        createSimulator(site.simulated),
        historyPaces(startMs, toMs, nowMs),
      )) {
        signal.throwIfAborted();
        await deliver(siteId, batch);
        sent += batch.length;
      }
      finished += 1;
      onShare(finished / sites.length);
    }
  };
  await Promise.all(Array.from({ length: SITES_AT_ONCE }, sendSites));
  return sent;
}

async function lastSweepMs(db: Db, siteId: number): Promise<number | null> {
  const row = await db
    .selectFrom('sweep')
    .select((eb) => eb.fn.max('at').as('last'))
    .where('site_id', '=', siteId)
    .executeTakeFirst();
  return (row?.last as Date | null | undefined)?.getTime() ?? null;
}
