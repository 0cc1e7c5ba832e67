import { sql } from 'kysely';
import type { Db } from '../../../ingest/store/database.ts';
import type { AlertRow } from '../../../ingest/store/schema.ts';
import { BACK_WITHIN_MS } from '../delays.ts';
import type { SharedCondition } from '../sharedConditions.ts';
import type { Member } from './clusters.ts';
import type { EventPlace } from './tellEvent.ts';

/** A provider as its events are worked out from. */
export interface ProviderState {
  readonly providerId: number;
  readonly place: EventPlace;
  /** What the provider's sites show now. */
  readonly members: readonly Member[];
  /** Events that are open or closed a short time ago, locked. */
  readonly events: readonly AlertRow[];
  /** Open alerts of the provider's sites that are part of an event or may become so, locked. */
  readonly parts: readonly AlertRow[];
}

/** Null when there is no such provider. */
export async function loadProvider(
  trx: Db,
  providerId: number,
  nowMs: number,
): Promise<ProviderState | null> {
  const place = await placeOf(trx, providerId);
  if (place === null) return null;
  const members = await loadMembers(trx, providerId);
  const events = await lockEvents(trx, providerId, nowMs);
  return { providerId, place, members, events, parts: await lockParts(trx, providerId, events, members) };
}

async function placeOf(trx: Db, providerId: number): Promise<EventPlace | null> {
  const provider = await trx
    .selectFrom('provider')
    .select('name')
    .where('provider_id', '=', providerId)
    .executeTakeFirst();
  if (provider === undefined) return null;
  const sites = await trx
    .selectFrom('site')
    .select(['site_id', 'name'])
    .where('provider_id', '=', providerId)
    .execute();
  return { provider: provider.name, siteNames: new Map(sites.map(({ site_id, name }) => [site_id, name])) };
}

async function loadMembers(trx: Db, providerId: number): Promise<Member[]> {
  const watched = await trx
    .selectFrom('alert_watch')
    .select(['site_id', 'shared'])
    .where('provider_id', '=', providerId)
    .where(sql<boolean>`shared <> '[]'`)
    .orderBy('site_id')
    .execute();
  return watched.flatMap(({ site_id, shared }) =>
    (shared as SharedCondition[]).map((condition) => ({ ...condition, siteId: site_id })),
  );
}

async function lockEvents(trx: Db, providerId: number, nowMs: number): Promise<AlertRow[]> {
  return trx
    .selectFrom('alert')
    .selectAll()
    .where('kind', '=', 'provider-event')
    .where('provider_id', '=', providerId)
    .where((where) =>
      where.or([where('closed_at', 'is', null), where('closed_at', '>', new Date(nowMs - BACK_WITHIN_MS))]),
    )
    .orderBy('alert_id')
    .forNoKeyUpdate()
    .execute();
}

async function lockParts(
  trx: Db,
  providerId: number,
  events: readonly AlertRow[],
  members: readonly Member[],
): Promise<AlertRow[]> {
  const siteIds = [...new Set(members.map(({ siteId }) => siteId))];
  const eventIds = events.map(({ alert_id }) => alert_id);
  if (siteIds.length === 0 && eventIds.length === 0) return [];
  return trx
    .selectFrom('alert')
    .selectAll()
    .where('kind', '=', 'site')
    .where('closed_at', 'is', null)
    .where('provider_id', '=', providerId)
    .where(sql<boolean>`(site_id = any(${siteIds}::bigint[]) or part_of = any(${eventIds}::bigint[]))`)
    .orderBy('alert_id')
    .forNoKeyUpdate()
    .execute();
}
