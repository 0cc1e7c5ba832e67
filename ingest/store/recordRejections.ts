import { sql } from 'kysely';
import type { Rejection } from '../contract/checkedSweep.ts';
import type { Db } from './database.ts';

const KEPT_A_SITE = 1_000;
const KEPT_A_REQUEST = 50;
const SHOWN_LENGTH = 100;

/**
 * Keeps why sweeps were refused where people can see it, the newest thousand a site. The sender has been told each
 * reason; this is for those who wonder why a point is silent.
 */
export async function recordRejections(
  db: Db,
  siteId: number,
  sweeps: readonly unknown[],
  rejected: readonly Rejection[],
  nowMs: number,
): Promise<void> {
  if (rejected.length === 0) return;
  await db
    .insertInto('rejected_sweep')
    .values(
      rejected.slice(0, KEPT_A_REQUEST).map((rejection) => ({
        site_id: siteId,
        received_at: new Date(nowMs),
        point: textOf(sweeps[rejection.index], 'point'),
        at: textOf(sweeps[rejection.index], 'at'),
        path: rejection.path,
        reason: rejection.reason,
      })),
    )
    .execute();
  await sql`
    delete from rejected_sweep
    where site_id = ${siteId} and rejection_id <= (
      select rejection_id from rejected_sweep
      where site_id = ${siteId}
      order by rejection_id desc
      offset ${KEPT_A_SITE} limit 1
    )`.execute(db);
}

/** What the sender wrote in a field, made fit to be stored: PostgreSQL holds no NUL and no half characters. */
function textOf(sweep: unknown, field: string): string | null {
  if (typeof sweep !== 'object' || sweep === null) return null;
  const value = (sweep as Record<string, unknown>)[field];
  if (typeof value !== 'string') return null;
  return value.toWellFormed().replaceAll('\0', '').slice(0, SHOWN_LENGTH).toWellFormed();
}
