/**
 * What alerts cost the engine, beside the rank in the same run: a look at a site where nothing has changed, and a provider's feed lost
 * at 400 sites: `npm run bench:alerts`.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { syncProvider } from '../../api/alerts/provider/syncProvider.ts';
import { syncRankedSite } from '../../api/alerts/syncAlerts.ts';
import { type RankedSite, refreshSiteRisk } from '../../api/risk/refreshSiteRisk.ts';
import { createDatabase, createPool, type Db } from '../../ingest/store/database.ts';
import { startEmbedded } from '../../ingest/store/embedded.ts';
import { migrate } from '../../ingest/store/migrate.ts';

const SITES = 400;
const ROUNDS = 5;
const MINUTE_MS = 60_000;
const START_MS = Date.now();

const folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-bench-'));
const postgres = await startEmbedded(folder);
const pool = createPool(postgres.url);
const db = createDatabase(pool);
try {
  await migrate(db);
  const providerId = await makeProvider(db);
  const sites: { siteId: number; handoff: number }[] = [];
  for (let i = 0; i < SITES; i++) sites.push(await makeSite(db, providerId, i));

  await measureQuiet('nothing ever found', sites, START_MS);
  for (const site of sites) await loseFeed(db, site, START_MS);
  await measureFlood(sites, providerId);
  await measureQuiet('an alert at each, nothing new', sites, START_MS + 20 * MINUTE_MS);
} finally {
  await pool.end();
  await postgres.stop();
  await rm(folder, { recursive: true, force: true });
}

async function measureQuiet(
  what: string,
  sites: readonly { siteId: number }[],
  nowMs: number,
): Promise<void> {
  let rankMs = 0;
  let alertsMs = 0;
  for (let round = 0; round <= ROUNDS; round++) {
    for (const { siteId } of sites) {
      const begun = performance.now();
      const ranked = (await refreshSiteRisk(db, siteId, nowMs)) as RankedSite;
      const between = performance.now();
      await syncRankedSite(db, ranked, nowMs);
      // The first round warms up.
      if (round === 0) continue;
      rankMs += between - begun;
      alertsMs += performance.now() - between;
    }
  }
  const looks = ROUNDS * sites.length;
  line(`${what}: rank`, `${(rankMs / looks).toFixed(2)} ms a site`);
  line(`${what}: alerts`, `${(alertsMs / looks).toFixed(2)} ms a site, ${percent(alertsMs / rankMs)}`);
}

async function measureFlood(sites: readonly { siteId: number }[], providerId: number): Promise<void> {
  for (const [what, nowMs] of [
    ['feed lost at 400 sites, seen', START_MS],
    ['ten minutes later, told', START_MS + 10 * MINUTE_MS],
  ] as const) {
    const begun = performance.now();
    for (const { siteId } of sites) {
      const ranked = (await refreshSiteRisk(db, siteId, nowMs)) as RankedSite;
      await syncRankedSite(db, ranked, nowMs);
    }
    await syncProvider(db, providerId, nowMs);
    line(what, `${((performance.now() - begun) / 1000).toFixed(1)} s with the ranks`);
  }
  const told = await db
    .selectFrom('alert_change')
    .select((select) => select.fn.countAll<number>().as('count'))
    .where('kind', '=', 'raised')
    .executeTakeFirstOrThrow();
  line('alerts told of', String(told.count));
}

async function makeProvider(target: Db): Promise<number> {
  const { provider_id } = await target
    .insertInto('provider')
    .values({ name: 'Wide Valley Feed' })
    .returning('provider_id')
    .executeTakeFirstOrThrow();
  return provider_id;
}

async function makeSite(target: Db, providerId: number, i: number) {
  const { site_id } = await target
    .insertInto('site')
    .values({ name: `House ${i}`, time_zone: 'America/Chicago', outlets: 40, provider_id: providerId })
    .returning('site_id')
    .executeTakeFirstOrThrow();
  const { point_id } = await target
    .insertInto('point')
    .values({ site_id, name: 'handoff', kind: 'handoff', fed_by: null })
    .returning('point_id')
    .executeTakeFirstOrThrow();
  await target
    .insertInto('point')
    .values({ site_id, name: 'outlet', kind: 'outlet', fed_by: point_id, outlets: 40 })
    .execute();
  return { siteId: site_id, handoff: point_id };
}

async function loseFeed(
  target: Db,
  { siteId, handoff }: { siteId: number; handoff: number },
  atMs: number,
): Promise<void> {
  const at = new Date(atMs);
  await target
    .insertInto('finding')
    .values({
      site_id: siteId,
      event: 1,
      point_id: handoff,
      kind: 'outage',
      metric: 'channels',
      shape: null,
      detected_at: at,
      onset_at: at,
      onset_low_at: at,
      onset_high_at: at,
      size_db: 0,
      size_low_db: 0,
      size_high_db: 0,
      slope_db_per_day: null,
      slope_low_db_per_day: null,
      slope_high_db_per_day: null,
      limit_days_10: null,
      limit_days_50: null,
      limit_days_90: null,
      limit_name: null,
      closed_at: null,
      side: 'provider',
      hop_from: null,
      hop_to: handoff,
      explained_by: null,
      told_at: at,
    })
    .execute();
}

function line(name: string, value: string): void {
  console.log(`  ${name.padEnd(44)} ${value}`);
}

function percent(share: number): string {
  return `${(100 * share).toFixed(0)} % of the rank`;
}
