import { type RawBuilder, sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { WindowScope } from '../../ingest/store/schema.ts';
import type { MarkedWindow } from '../schemas/maintenance.ts';
import type { Window } from './window.ts';

/** A window in force at a site, with what people said of it. */
export interface SiteWindow extends Window {
  readonly windowId: number;
  readonly scope: WindowScope;
  readonly reason: string;
  readonly effect: string;
}

/** Whether a moment lies in a maintenance window of the fleet, of the provider or of the site. */
export async function isInMaintenance(
  db: Db,
  { siteId, providerId, atMs }: { siteId: number; providerId: number | null; atMs: number },
): Promise<boolean> {
  const at = new Date(atMs);
  const { rows } = await sql`
    select 1 from maintenance_window
    where cancelled_at is null and from_at <= ${at} and to_at > ${at} and (
      scope = 'fleet'
      or (scope = 'provider' and scope_id = ${providerId}::bigint)
      or (scope = 'site' and scope_id = ${siteId}::bigint))
    limit 1`.execute(db);
  return rows.length > 0;
}

/** Windows in force that touch a span of event time at a site, earliest first. */
export async function windowsFor(
  db: Db,
  siteId: number,
  fromMs: number,
  toMs: number,
): Promise<SiteWindow[]> {
  const { rows } = await sql<{
    window_id: number;
    scope: WindowScope;
    from_at: Date;
    to_at: Date;
    reason: string;
    effect: string;
  }>`
    select * from (${windowsOf(siteId)}) as of_site
    where from_at <= ${new Date(toMs)} and to_at > ${new Date(fromMs)}
    order by from_at, window_id`.execute(db);
  return rows.map(({ window_id, scope, from_at, to_at, reason, effect }) => ({
    windowId: window_id,
    scope,
    fromMs: from_at.getTime(),
    toMs: to_at.getTime(),
    reason,
    effect,
  }));
}

/** A window as it marks readings on a page. */
export function markedWindow({ fromMs, toMs, reason }: SiteWindow): MarkedWindow {
  return { fromAt: new Date(fromMs).toISOString(), toAt: new Date(toMs).toISOString(), reason };
}

/** The windows in force at a site, as a query to build on. */
export function windowsOf(siteId: number): RawBuilder<unknown> {
  return sql`
    select * from maintenance_window
    where cancelled_at is null and (
      scope = 'fleet'
      or (scope = 'site' and scope_id = ${siteId}::bigint)
      or (scope = 'provider' and scope_id = (select provider_id from site where site_id = ${siteId}::bigint)))`;
}
