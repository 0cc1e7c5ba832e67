import { createHash } from 'node:crypto';
import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { type RankedSite, rankSite } from '../risk/refreshSiteRisk.ts';
import { type Condition, conditionsOf } from './conditions.ts';
import { syncProvider } from './provider/syncProvider.ts';
import { isShared, type SharedCondition } from './sharedConditions.ts';
import { syncSite } from './syncSite.ts';

/**
 * Brings the alerts of a site up to date with its findings and its silence. Call it whenever the site was ranked: where nothing has
 * changed since the last time, and no delay has ended, it reads one row and is done. All of it may be repeated, by several workers
 * at once and after a crash at any moment. Does nothing when there is no such site.
 *
 * @param nowMs wall clock, milliseconds since 1970-01-01 UTC
 */
export async function syncAlerts(db: Db, siteId: number, nowMs: number): Promise<void> {
  const ranked = await rankSite(db, siteId, nowMs);
  if (ranked !== null) await syncRankedSite(db, ranked, nowMs);
}

/** The same for a site that was just ranked. */
export async function syncRankedSite(db: Db, ranked: RankedSite, nowMs: number): Promise<void> {
  const siteId = ranked.site.row.site_id;
  const watched = await db
    .selectFrom('alert_watch')
    .select(['fingerprint', 'due_at'])
    .where('site_id', '=', siteId)
    .executeTakeFirst();
  const fingerprint = fingerprintOf(ranked, conditionsOf(ranked, nowMs));
  const isDue = watched?.due_at != null && watched.due_at.getTime() <= nowMs;
  if (!isDue && (watched?.fingerprint ?? quietPrint(ranked)) === fingerprint) return;

  const providerId = await db.transaction().execute((trx) => syncLocked(trx, siteId, nowMs));
  if (providerId !== null) await syncProvider(db, providerId, nowMs);
}

/**
 * Reads the site again once nobody else can be at it. Returns the provider with whose other sites it may make an event; an event
 * that is there already can wait for the job.
 */
async function syncLocked(trx: Db, siteId: number, nowMs: number): Promise<number | null> {
  await trx
    .insertInto('alert_watch')
    .values({ site_id: siteId, provider_id: null, fingerprint: '', due_at: null })
    .onConflict((conflict) => conflict.doNothing())
    .execute();
  const watched = await trx
    .selectFrom('alert_watch')
    .selectAll()
    .where('site_id', '=', siteId)
    .forUpdate()
    .executeTakeFirstOrThrow();
  const ranked = await rankSite(trx, siteId, nowMs);
  if (ranked === null) return null;

  const conditions = conditionsOf(ranked, nowMs);
  const known = watched.shared as SharedCondition[];
  const { dueMs, shared, mayGather } = await syncSite(trx, ranked, conditions, known, nowMs);
  const providerId = ranked.site.row.provider_id;
  await trx
    .updateTable('alert_watch')
    .set({
      provider_id: providerId,
      fingerprint: fingerprintOf(ranked, conditions),
      due_at: dueMs === null ? null : new Date(dueMs),
      shared: JSON.stringify(shared),
    })
    .where('site_id', '=', siteId)
    .execute();
  return mayGather ? providerId : null;
}

/** What alerts are made of, with figures as coarse as they are told: while it stays the same, nothing is to do. */
function fingerprintOf({ site }: RankedSite, conditions: readonly Condition[]): string {
  if (conditions.length === 0) return `${site.row.provider_id}`;
  const parts = conditions.map((condition) => [
    condition.causeKey,
    condition.findings.map(({ event, pointId }) => [event, pointId]),
    condition.pointIds,
    Math.round(condition.onsetMs / 3_600_000),
    condition.side,
    condition.severity,
    condition.isTold,
    condition.outlets,
    Math.round(4 * Math.log2(1 + condition.outletDays)),
    typeof condition.timeLeft === 'number' ? Math.round(condition.timeLeft) : condition.timeLeft,
    condition.findings.map(({ sizeDb }) => Math.round(2 * sizeDb)),
    isShared(condition),
    condition.trouble?.clauses,
  ]);
  const hash = createHash('sha256').update(JSON.stringify([site.row.provider_id, parts]));
  return hash.digest('base64url');
}

function quietPrint(ranked: RankedSite): string {
  return fingerprintOf(ranked, []);
}

/** Sites where a delay, a shelf or a window has ended. */
export async function dueSites(db: Db, nowMs: number, limit: number): Promise<number[]> {
  const rows = await db
    .selectFrom('alert_watch')
    .select('site_id')
    .where('due_at', '<=', new Date(nowMs))
    .orderBy('due_at')
    .limit(limit)
    .execute();
  return rows.map(({ site_id }) => site_id);
}

/** Providers with something that many of their sites may show, or with an event that isn't over. */
export async function watchedProviders(db: Db): Promise<number[]> {
  const { rows } = await sql<{ provider_id: number }>`
    select provider_id from alert_watch where shared <> '[]' and provider_id is not null
    union
    select provider_id from alert where kind = 'provider-event' and closed_at is null
    order by provider_id`.execute(db);
  return rows.map(({ provider_id }) => provider_id);
}
