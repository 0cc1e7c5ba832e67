import type { Db } from '../../../ingest/store/database.ts';
import type { AlertChangeRow, AlertRow } from '../../../ingest/store/schema.ts';
import { givenPoint, givenSite } from '../../support/givenSite.ts';

export const MINUTE = 60_000;
export const HOUR = 60 * MINUTE;
export const DAY = 24 * HOUR;

/** handoff → amplifier → two floors with 24 outlets each. */
export interface Building {
  readonly siteId: number;
  readonly handoff: number;
  readonly amplifier: number;
  readonly floor3: number;
  readonly floor4: number;
}

export async function givenBuilding(db: Db, providerId: number | null = null): Promise<Building> {
  const siteId = await givenSite(db, { outlets: 48, provider_id: providerId });
  const handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  const amplifier = await givenPoint(db, siteId, { name: 'amplifier', kind: 'amplifier', fed_by: handoff });
  const [floor3, floor4] = [
    await givenPoint(db, siteId, { name: 'floor-3', label: 'floor 3', fed_by: amplifier, outlets: 24 }),
    await givenPoint(db, siteId, { name: 'floor-4', label: 'floor 4', fed_by: amplifier, outlets: 24 }),
  ];
  return { siteId, handoff, amplifier, floor3, floor4 };
}

export async function givenProvider(db: Db): Promise<number> {
  const { provider_id } = await db
    .insertInto('provider')
    .values({ name: `Provider ${crypto.randomUUID()}` })
    .returning('provider_id')
    .executeTakeFirstOrThrow();
  return provider_id;
}

/** Alerts of a site, oldest first. */
export function alertsOf(db: Db, siteId: number): Promise<AlertRow[]> {
  return db.selectFrom('alert').selectAll().where('site_id', '=', siteId).orderBy('alert_id').execute();
}

/** Kinds of the changes of an alert, oldest first. */
export async function changesOf(db: Db, alertId: number): Promise<AlertChangeRow['kind'][]> {
  const rows = await db
    .selectFrom('alert_change')
    .select('kind')
    .where('alert_id', '=', alertId)
    .orderBy('change_id')
    .execute();
  return rows.map(({ kind }) => kind);
}
