import type pg from 'pg';
import { isDatabaseAway } from '../../ingest/store/databaseAway.ts';
import { syncRankedSite } from '../alerts/syncAlerts.ts';
import { refreshSiteRisk } from '../risk/refreshSiteRisk.ts';
import { advanceSite, type EngineDeps, type SiteContexts } from './advanceSite.ts';

const SITES_A_PASS = 200;
/** While PostgreSQL reads or writes one site, another is worked on. */
export const SITES_AT_ONCE = 2;
/** Under a steady stream a site is ranked again no more often than this. */
const RISK_PAUSE_MS = 10_000;
/** Silence is news: a rank older than this is worked out again though nothing came in. */
const RISK_AGE_MS = 10 * 60_000;
const RISKS_A_PASS = 10;

export interface PassOptions {
  /** Wall clock, milliseconds since 1970-01-01 UTC. */
  readonly nowMs: number;
  readonly signal?: AbortSignal;
  /** Kept from pass to pass; without it every pass begins anew and ranks each site that it advances. */
  readonly memory?: EngineMemory;
}

/** What one worker keeps between passes to save work. It changes no answer. */
export interface EngineMemory {
  readonly contexts: SiteContexts;
  /** When each site was ranked last, wall clock. */
  readonly rankedMs: Map<number, number>;
  /** Sites advanced since they were ranked. */
  readonly unranked: Set<number>;
}

export function emptyMemory(): EngineMemory {
  return { contexts: new Map(), rankedMs: new Map(), unranked: new Set() };
}

export interface PassResult {
  readonly sites: number;
  readonly sweeps: number;
}

/**
 * One pass over all that has arrived: each site with news is brought up to date and ranked again, then the oldest
 * ranks. Stops between sites once `signal` is aborted. A site that can't be brought up to date keeps no other waiting: the pass goes on,
 * and throws an AggregateError with one error a site at its end.
 */
export async function runEnginePass(deps: EngineDeps, options: PassOptions): Promise<PassResult> {
  const { nowMs, signal, memory = emptyMemory() } = options;
  let sites = 0;
  let sweeps = 0;
  const failures: Error[] = [];
  const queue = await sitesWithNews(deps.pool);
  const takeSites = async () => {
    for (let siteId = queue.shift(); siteId !== undefined; siteId = queue.shift()) {
      if (signal?.aborted) return;
      try {
        const taken = await advanceSite(deps, memory.contexts, siteId);
        if (taken === null) continue;
        memory.unranked.add(siteId);
        sites++;
        sweeps += taken;
        await rankWhenDue(deps, memory, siteId, nowMs);
      } catch (cause) {
        if (isDatabaseAway(cause)) throw cause;
        failures.push(new Error(`site ${siteId}: ${(cause as Error).message}`, { cause }));
      }
    }
  };
  await Promise.all(Array.from({ length: SITES_AT_ONCE }, takeSites));
  for (const siteId of memory.unranked) {
    if (signal?.aborted) break;
    await rankWhenDue(deps, memory, siteId, nowMs);
  }
  for (const siteId of await oldestRisks(deps.pool, nowMs)) {
    if (signal?.aborted) break;
    await rank(deps, siteId, nowMs);
  }
  if (failures.length > 0)
    throw new AggregateError(failures, failures.map(({ message }) => message).join('; '));
  return { sites, sweeps };
}

/** Ranks a site, and tells people what that says. */
async function rank({ db }: EngineDeps, siteId: number, nowMs: number): Promise<void> {
  const ranked = await refreshSiteRisk(db, siteId, nowMs);
  if (ranked !== null) await syncRankedSite(db, ranked, nowMs);
}

async function rankWhenDue(
  deps: EngineDeps,
  memory: EngineMemory,
  siteId: number,
  nowMs: number,
): Promise<void> {
  const rankedMs = memory.rankedMs.get(siteId);
  if (rankedMs !== undefined && nowMs - rankedMs < RISK_PAUSE_MS) return;
  await rank(deps, siteId, nowMs);
  memory.rankedMs.set(siteId, nowMs);
  memory.unranked.delete(siteId);
}

/** Sites with arrivals, those that wait longest first; each gets a state row where it has none. */
async function sitesWithNews(pool: pg.Pool): Promise<number[]> {
  const { rows } = await pool.query<{ site_id: number; missing: boolean }>({
    name: 'engine sites with news',
    text: `
      select arrival.site_id, bool_or(site_state.site_id is null) as missing
      from arrival left join site_state on site_state.site_id = arrival.site_id
      group by arrival.site_id order by min(arrival.arrival_id) limit ${SITES_A_PASS}`,
  });
  for (const { site_id, missing } of rows) {
    if (missing)
      await pool.query('insert into site_state (site_id) values ($1) on conflict do nothing', [site_id]);
  }
  return rows.map(({ site_id }) => site_id);
}

async function oldestRisks(pool: pg.Pool, nowMs: number): Promise<number[]> {
  const { rows } = await pool.query<{ site_id: number }>({
    name: 'engine oldest risks',
    text: `
      select site.site_id from site left join site_risk on site_risk.site_id = site.site_id
      where site_risk.site_id is null or site_risk.computed_at < $1
      order by site_risk.computed_at nulls first limit ${RISKS_A_PASS}`,
    values: [new Date(nowMs - RISK_AGE_MS)],
  });
  return rows.map(({ site_id }) => site_id);
}
