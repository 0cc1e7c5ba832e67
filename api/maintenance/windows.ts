import { sql } from 'kysely';
import { announceToSites } from '../../ingest/store/announceToSites.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { WindowScope } from '../../ingest/store/schema.ts';
import { ApiError, InvalidInput, NotFound } from '../errors.ts';
import type { ChangeWindow, MaintenanceWindow, NewWindow } from '../schemas/maintenance.ts';
import { windowsOf } from './windowsAt.ts';

const DAY_MS = 86_400_000;
/** What stays open for longer hides faults (common practice, no source). */
const LONGEST_DAYS = 31;
const SHOWN = 300;

interface Row {
  readonly window_id: number;
  readonly scope: WindowScope;
  readonly scope_id: number | null;
  readonly scope_name: string | null;
  readonly time_zone: string | null;
  readonly from_at: Date;
  readonly to_at: Date;
  readonly reason: string;
  readonly effect: string;
  readonly created_by: string;
  readonly created_at: Date;
  readonly cancelled_by: string | null;
  readonly cancelled_at: Date | null;
}

/** Windows, the latest first: those of the fleet and all that it holds, or those in force at one site. */
export async function listWindows(
  db: Db,
  siteId: number | null,
  nowMs: number,
): Promise<MaintenanceWindow[]> {
  const source = siteId === null ? sql`select * from maintenance_window` : windowsOf(siteId);
  return readWindows(db, source, nowMs);
}

/** Throws InvalidInput when the times can't be, or the site or provider isn't there. */
export async function addWindow(
  db: Db,
  wanted: NewWindow,
  by: string,
  nowMs: number,
): Promise<MaintenanceWindow> {
  const { scope, scopeId, reason, effect } = wanted;
  const span = { fromMs: Date.parse(wanted.fromAt), toMs: Date.parse(wanted.toAt) };
  refuse({ ...spanFaults(span), ...(await scopeFaults(db, scope, scopeId)) });
  return inTransaction(db, async (trx) => {
    const { window_id } = await trx
      .insertInto('maintenance_window')
      .values({
        scope,
        scope_id: scopeId,
        from_at: new Date(span.fromMs),
        to_at: new Date(span.toMs),
        reason,
        effect,
        created_by: by,
        created_at: new Date(nowMs),
        cancelled_by: null,
        cancelled_at: null,
      })
      .returning('window_id')
      .executeTakeFirstOrThrow();
    await announce(trx, scope, scopeId, span.fromMs);
    return findWindow(trx, window_id, nowMs);
  });
}

/** Changes times or words. The engine looks again from the earlier of the two starts. */
export async function changeWindow(
  db: Db,
  windowId: number,
  change: ChangeWindow,
  nowMs: number,
): Promise<MaintenanceWindow> {
  return inTransaction(db, async (trx) => {
    const before = await standing(trx, windowId, nowMs);
    const span = {
      fromMs: Date.parse(change.fromAt ?? before.fromAt),
      toMs: Date.parse(change.toAt ?? before.toAt),
    };
    refuse(spanFaults(span));
    await trx
      .updateTable('maintenance_window')
      .set({
        from_at: new Date(span.fromMs),
        to_at: new Date(span.toMs),
        reason: change.reason ?? before.reason,
        effect: change.effect ?? before.effect,
      })
      .where('window_id', '=', windowId)
      .execute();
    if (change.fromAt !== undefined || change.toAt !== undefined)
      await announce(trx, before.scope, before.scopeId, Math.min(span.fromMs, Date.parse(before.fromAt)));
    return findWindow(trx, windowId, nowMs);
  });
}

/** As if it had never been: readings inside are judged like any others. The row stays, with who cancelled it. */
export async function cancelWindow(
  db: Db,
  windowId: number,
  by: string,
  nowMs: number,
): Promise<MaintenanceWindow> {
  return inTransaction(db, async (trx) => {
    const { scope, scopeId, fromAt } = await standing(trx, windowId, nowMs);
    await trx
      .updateTable('maintenance_window')
      .set({ cancelled_by: by, cancelled_at: new Date(nowMs) })
      .where('window_id', '=', windowId)
      .execute();
    await announce(trx, scope, scopeId, Date.parse(fromAt));
    return findWindow(trx, windowId, nowMs);
  });
}

async function readWindows(
  db: Db,
  source: ReturnType<typeof windowsOf>,
  nowMs: number,
): Promise<MaintenanceWindow[]> {
  const { rows } = await sql<Row>`
    select listed.*, coalesce(site.name, provider.name) as scope_name, site.time_zone
    from (${source}) as listed
    left join site on listed.scope = 'site' and site.site_id = listed.scope_id
    left join provider on listed.scope = 'provider' and provider.provider_id = listed.scope_id
    order by listed.from_at desc, listed.window_id desc
    limit ${SHOWN}`.execute(db);
  return rows.map((row) => viewOf(row, nowMs));
}

/** Throws 404 when there is no such window. */
export async function findWindow(db: Db, windowId: number, nowMs: number): Promise<MaintenanceWindow> {
  const one = sql`select * from maintenance_window where window_id = ${windowId}`;
  const [found] = await readWindows(db, one, nowMs);
  if (found === undefined) throw new NotFound('maintenance window', windowId);
  return found;
}

async function standing(db: Db, windowId: number, nowMs: number): Promise<MaintenanceWindow> {
  const found = await findWindow(db, windowId, nowMs);
  if (found.state === 'cancelled')
    throw new ApiError(409, 'window-cancelled', 'this window was cancelled', 'make a new one');
  return found;
}

/** The engine looks again at all points that the window reaches. */
async function announce(db: Db, scope: WindowScope, scopeId: number | null, fromMs: number): Promise<void> {
  let points = db
    .selectFrom('point')
    .innerJoin('site', 'site.site_id', 'point.site_id')
    .select(['point.site_id', 'point.point_id']);
  if (scope === 'site') points = points.where('site.site_id', '=', scopeId!);
  if (scope === 'provider') points = points.where('site.provider_id', '=', scopeId!);
  await announceToSites(db, await points.execute(), fromMs);
}

function viewOf(row: Row, nowMs: number): MaintenanceWindow {
  return {
    windowId: row.window_id,
    scope: row.scope,
    scopeId: row.scope_id,
    scopeName: row.scope_name,
    timeZone: row.time_zone,
    fromAt: row.from_at.toISOString(),
    toAt: row.to_at.toISOString(),
    reason: row.reason,
    effect: row.effect,
    state: stateOf(row, nowMs),
    createdBy: row.created_by,
    createdAt: row.created_at.toISOString(),
    cancelledBy: row.cancelled_by,
    cancelledAt: row.cancelled_at?.toISOString() ?? null,
  };
}

function stateOf({ from_at, to_at, cancelled_at }: Row, nowMs: number): MaintenanceWindow['state'] {
  if (cancelled_at !== null) return 'cancelled';
  if (nowMs < from_at.getTime()) return 'planned';
  return nowMs < to_at.getTime() ? 'running' : 'over';
}

function spanFaults({ fromMs, toMs }: { fromMs: number; toMs: number }): Record<string, string> {
  if (toMs <= fromMs) return { toAt: 'must lie after the start' };
  if (toMs - fromMs > LONGEST_DAYS * DAY_MS)
    return {
      toAt: `must lie within ${LONGEST_DAYS} days of the start: what stays open for longer hides faults`,
    };
  return {};
}

async function scopeFaults(
  db: Db,
  scope: WindowScope,
  scopeId: number | null,
): Promise<Record<string, string>> {
  if (scope === 'fleet') return scopeId === null ? {} : { scopeId: 'must be null: the fleet has no number' };
  if (scopeId === null) return { scopeId: `is missing: say which ${scope}` };
  const found =
    scope === 'site'
      ? await db.selectFrom('site').select('site_id').where('site_id', '=', scopeId).executeTakeFirst()
      : await db
          .selectFrom('provider')
          .select('provider_id')
          .where('provider_id', '=', scopeId)
          .executeTakeFirst();
  return found === undefined ? { scopeId: `there is no ${scope} ${scopeId}: choose another` } : {};
}

function refuse(faults: Record<string, string>): void {
  if (Object.keys(faults).length > 0) throw new InvalidInput(faults);
}
