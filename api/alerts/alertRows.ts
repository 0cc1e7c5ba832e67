import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { AlertRow, NewAlert } from '../../ingest/store/schema.ts';
import { BACK_WITHIN_MS } from './delays.ts';
import type { KnownAlert } from './matchAlerts.ts';
import { type Change, type Move, OURSELVES } from './moveAlert.ts';

export type FindingRef = { readonly event: number; readonly pointId: number };

/** Alerts of a site that a condition may belong to, locked, oldest first: open ones, and those closed a short time ago. */
export async function lockSiteAlerts(db: Db, siteId: number, nowMs: number): Promise<KnownAlert[]> {
  const rows = await db
    .selectFrom('alert')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('kind', '=', 'site')
    .where((where) =>
      where.or([where('closed_at', 'is', null), where('closed_at', '>', new Date(nowMs - BACK_WITHIN_MS))]),
    )
    .orderBy('alert_id')
    .forNoKeyUpdate()
    .execute();
  if (rows.length === 0) return [];
  const findings = await db
    .selectFrom('alert_finding')
    .select(['alert_id', 'event', 'point_id'])
    .where('site_id', '=', siteId)
    .where(
      'alert_id',
      'in',
      rows.map(({ alert_id }) => alert_id),
    )
    .execute();
  const byAlert = Map.groupBy(findings, ({ alert_id }) => alert_id);
  return rows.map((row) => ({
    row,
    findings: (byAlert.get(row.alert_id) ?? []).map(({ event, point_id }) => ({ event, pointId: point_id })),
  }));
}

/** Writes what has changed of an alert, and each change with it. */
export async function writeMove(
  db: Db,
  before: AlertRow,
  move: Move,
  by: string,
  nowMs: number,
): Promise<void> {
  const { alert_id, ...row } = move.row;
  const changed = Object.fromEntries(
    Object.entries(row).filter(([key, value]) => !isSame(value, before[key as keyof AlertRow])),
  );
  if (Object.keys(changed).length > 0)
    await db.updateTable('alert').set(changed).where('alert_id', '=', alert_id).execute();
  await writeChanges(db, alert_id, move.changes, by, nowMs);
}

/** Puts an alert on record. Returns its number. */
export async function insertAlert(db: Db, row: NewAlert, change: Change, nowMs: number): Promise<number> {
  const { alert_id } = await db
    .insertInto('alert')
    .values(row)
    .returning('alert_id')
    .executeTakeFirstOrThrow();
  await writeChanges(db, alert_id, [change], OURSELVES, nowMs);
  return alert_id;
}

/** Call it after every row that its transaction needs is locked: it makes writers take turns until they commit. */
export async function writeChanges(
  db: Db,
  alertId: number,
  changes: readonly Change[],
  by: string,
  nowMs: number,
): Promise<void> {
  if (changes.length === 0) return;
  // A follower keeps the highest number that it saw, so numbers must be seen in the order in which they are given.
  await sql`select pg_advisory_xact_lock(hashtext('alert_change'))`.execute(db);
  await db
    .insertInto('alert_change')
    .values(
      changes.map(({ kind, why, before, after }) => ({
        alert_id: alertId,
        at: new Date(nowMs),
        kind,
        by_whom: by,
        why,
        before: before && JSON.stringify(before),
        after: after && JSON.stringify(after),
      })),
    )
    .execute();
}

/** Makes the findings of a site that an alert tells of these. */
export async function writeFindings(
  db: Db,
  alertId: number,
  siteId: number,
  findings: readonly FindingRef[],
): Promise<void> {
  await db
    .deleteFrom('alert_finding')
    .where('alert_id', '=', alertId)
    .where('site_id', '=', siteId)
    .execute();
  if (findings.length === 0) return;
  await db
    .insertInto('alert_finding')
    .values(
      findings.map(({ event, pointId }) => ({
        alert_id: alertId,
        site_id: siteId,
        event,
        point_id: pointId,
      })),
    )
    .onConflict((conflict) => conflict.doNothing())
    .execute();
}

function isSame(a: unknown, b: unknown): boolean {
  return a instanceof Date && b instanceof Date ? a.getTime() === b.getTime() : a === b;
}
