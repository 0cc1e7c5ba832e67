import { sql } from 'kysely';
import type { Db } from '../../../ingest/store/database.ts';
import type { Member } from './clusters.ts';

/** Findings that an event tells of, and the sites that they are at. */
export interface EventFindings {
  readonly keys: ReadonlySet<string>;
  readonly siteIds: ReadonlySet<number>;
}

export async function loadEventFindings(trx: Db, alertId: number): Promise<EventFindings> {
  const rows = await trx
    .selectFrom('alert_finding')
    .select(['site_id', 'event', 'point_id'])
    .where('alert_id', '=', alertId)
    .execute();
  return {
    keys: new Set(rows.map(({ site_id, event, point_id }) => `${site_id} ${event} ${point_id}`)),
    siteIds: new Set(rows.map(({ site_id }) => site_id)),
  };
}

/** Adds what the members show now; findings of sites that showed it before stay on record. */
export async function addEventFindings(
  trx: Db,
  alertId: number,
  members: readonly Member[],
  known: EventFindings['keys'],
): Promise<void> {
  const refs = members
    .flatMap(({ siteId, findings }) => findings.map(({ event, pointId }) => ({ siteId, event, pointId })))
    .filter(({ siteId, event, pointId }) => !known.has(`${siteId} ${event} ${pointId}`));
  if (refs.length === 0) return;
  await sql`
    insert into alert_finding (alert_id, site_id, event, point_id)
    select ${alertId}::bigint, * from unnest(
      ${refs.map(({ siteId }) => siteId)}::bigint[], ${refs.map(({ event }) => event)}::int[],
      ${refs.map(({ pointId }) => pointId)}::bigint[])
    on conflict do nothing`.execute(trx);
}
