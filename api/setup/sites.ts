import { type ExpressionBuilder, sql, type Transaction } from 'kysely';
import { announceChange } from '../../ingest/store/announceChange.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { Database, NewSite, Site } from '../../ingest/store/schema.ts';
import { InvalidInput, NotFound } from '../errors.ts';
import type { ChangeSite, SiteList, SiteSetup } from '../schemas/siteSetup.ts';
import { ALL_HISTORY_MS } from './allHistory.ts';

type SiteFields = Omit<SiteSetup, 'siteId' | 'createdAt'>;

/** Sites by name, those that hold every word of `search` in name, town, address or provider. */
export async function listSites(
  db: Db,
  { search, offset, limit }: { search: string; offset: number; limit: number },
): Promise<SiteList> {
  const words = search.split(/\s+/).filter((word) => word !== '');
  const matching = db
    .selectFrom('site')
    .leftJoin('provider', 'provider.provider_id', 'site.provider_id')
    .leftJoin('channel_plan', 'channel_plan.plan_id', 'site.plan_id')
    .where((eb) => eb.and(words.map((word) => siteText(eb, word))));

  const { total } = await matching
    .select((eb) => eb.fn.countAll<number>().as('total'))
    .executeTakeFirstOrThrow();
  const rows = await matching
    .select(['site.site_id', 'site.name', 'site.town', 'site.outlets'])
    .select(['provider.name as provider', 'channel_plan.name as plan'])
    .select((eb) => [pointCount(eb).as('points'), keyCount(eb).as('keys'), lastKeyUse(eb).as('lastKeyUse')])
    .orderBy('site.name')
    .orderBy('site.site_id')
    .offset(offset)
    .limit(limit)
    .execute();

  const sites = rows.map(({ site_id, lastKeyUse, points, keys, ...row }) => ({
    ...row,
    siteId: site_id,
    points: points ?? 0,
    keys: keys ?? 0,
    lastKeyUseAt: lastKeyUse?.toISOString() ?? null,
  }));
  return { total, sites };
}

/** Throws 404 when there is no such site. */
export async function findSite(db: Db, siteId: number): Promise<SiteSetup> {
  const row = await db.selectFrom('site').selectAll().where('site_id', '=', siteId).executeTakeFirst();
  if (!row) throw new NotFound('site', siteId);
  return siteOfRow(row);
}

/** Throws InvalidInput when the provider or the plan isn't there. */
export async function addSite(db: Db, site: SiteFields): Promise<number> {
  await checkShared(db, site);
  const row = rowOfSite(site) as NewSite;
  const { site_id } = await db.insertInto('site').values(row).returning('site_id').executeTakeFirstOrThrow();
  return site_id;
}

/** Changes what `change` names. Another plan, or a provider with other windows, makes the engine judge the site's history again. */
export async function changeSite(db: Db, siteId: number, change: ChangeSite): Promise<void> {
  const before = await findSite(db, siteId);
  if (Object.keys(change).length === 0) return;
  await checkShared(db, change);

  await inTransaction(db, (trx) => writeSiteChange(trx, before, change));
}

/** Changes what `change` names of the site as it was `before`, whose provider and plan are known to be there. */
export async function writeSiteChange(
  trx: Transaction<Database>,
  before: SiteSetup,
  change: ChangeSite,
): Promise<void> {
  const { siteId } = before;
  await trx.updateTable('site').set(rowOfSite(change)).where('site_id', '=', siteId).execute();
  const isAnotherPlan = change.planId !== undefined && change.planId !== before.planId;
  const isAnotherProvider = change.providerId !== undefined && change.providerId !== before.providerId;
  const hasOtherWindows =
    isAnotherProvider && (await haveWindows(trx, [before.providerId, change.providerId ?? null]));
  if (!isAnotherPlan && !hasOtherWindows) return;
  const points = await trx.selectFrom('point').select('point_id').where('site_id', '=', siteId).execute();
  await announceChange(
    trx,
    siteId,
    points.map(({ point_id }) => point_id),
    ALL_HISTORY_MS,
  );
}

async function haveWindows(db: Db, providerIds: readonly (number | null)[]): Promise<boolean> {
  const found = await db
    .selectFrom('maintenance_window')
    .select('window_id')
    .where('scope', '=', 'provider')
    .where(
      'scope_id',
      'in',
      providerIds.filter((id) => id !== null),
    )
    .limit(1)
    .executeTakeFirst();
  return found !== undefined;
}

async function checkShared(db: Db, { providerId, planId }: ChangeSite): Promise<void> {
  const faults: Record<string, string> = {};
  if (providerId != null) {
    const provider = db.selectFrom('provider').select('name').where('provider_id', '=', providerId);
    if (!(await provider.executeTakeFirst())) faults['providerId'] = `there is no provider ${providerId}`;
  }
  if (planId != null) {
    const plan = db.selectFrom('channel_plan').select('name').where('plan_id', '=', planId);
    if (!(await plan.executeTakeFirst())) faults['planId'] = `there is no channel plan ${planId}`;
  }
  if (Object.keys(faults).length > 0) throw new InvalidInput(faults);
}

type SiteTables = ExpressionBuilder<Database & { provider: Database['provider'] }, 'site' | 'provider'>;

function siteText(eb: SiteTables, word: string) {
  const text = sql<string>`concat_ws(' ', site.name, site.town, site.address, provider.name)`;
  return eb(text, 'ilike', `%${word.replaceAll(/[\\%_]/g, '\\$&')}%`);
}

function pointCount(eb: SiteTables) {
  return eb
    .selectFrom('point')
    .select((inner) => inner.fn.countAll<number>().as('count'))
    .whereRef('point.site_id', '=', 'site.site_id');
}

function keyCount(eb: SiteTables) {
  return eb
    .selectFrom('site_key')
    .select((inner) => inner.fn.countAll<number>().as('count'))
    .whereRef('site_key.site_id', '=', 'site.site_id')
    .where('site_key.revoked_at', 'is', null);
}

function lastKeyUse(eb: SiteTables) {
  return eb
    .selectFrom('site_key')
    .select((inner) => inner.fn.max('site_key.last_used_at').as('at'))
    .whereRef('site_key.site_id', '=', 'site.site_id');
}

export function siteOfRow(row: Site): SiteSetup {
  return {
    siteId: row.site_id,
    name: row.name,
    town: row.town,
    address: row.address,
    timeZone: row.time_zone,
    latitude: row.latitude,
    longitude: row.longitude,
    outlets: row.outlets,
    providerId: row.provider_id,
    planId: row.plan_id,
    contact: row.contact,
    accessNotes: row.access_notes,
    createdAt: row.created_at.toISOString(),
  };
}

/** Columns for the fields that are there. */
function rowOfSite(site: ChangeSite): Partial<NewSite> {
  const { timeZone, providerId, planId, accessNotes, ...same } = site;
  const columns = {
    time_zone: timeZone,
    provider_id: providerId,
    plan_id: planId,
    access_notes: accessNotes,
  };
  return withoutAbsent({ ...same, ...columns });
}

function withoutAbsent(row: Record<string, unknown>): Partial<NewSite> {
  return Object.fromEntries(Object.entries(row).filter(([, value]) => value !== undefined));
}
