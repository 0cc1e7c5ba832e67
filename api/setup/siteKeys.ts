import type { Db } from '../../ingest/store/database.ts';
import type { RejectedSweeps, SiteKey } from '../schemas/siteKeys.ts';

const SHOWN_REJECTIONS = 200;

/** Every key ever made for the site, newest first; those that ended too. */
export async function listSiteKeys(db: Db, siteId: number): Promise<SiteKey[]> {
  const rows = await db
    .selectFrom('site_key')
    .selectAll()
    .where('site_id', '=', siteId)
    .orderBy('key_id', 'desc')
    .execute();
  return rows.map((row) => ({
    keyId: row.key_id,
    label: row.label,
    createdBy: row.created_by,
    createdAt: row.created_at.toISOString(),
    lastUsedAt: row.last_used_at?.toISOString() ?? null,
    revokedAt: row.revoked_at?.toISOString() ?? null,
  }));
}

/** One key of the site, without its secret; null when there is none such. */
export async function findSiteKey(db: Db, siteId: number, keyId: number): Promise<SiteKey | null> {
  return (await listSiteKeys(db, siteId)).find((key) => key.keyId === keyId) ?? null;
}

/** The newest sweeps of the site that were refused, with the reason that the sender was told. */
export async function listRejections(db: Db, siteId: number): Promise<RejectedSweeps['rejected']> {
  const rows = await db
    .selectFrom('rejected_sweep')
    .select(['received_at', 'point', 'at', 'path', 'reason'])
    .where('site_id', '=', siteId)
    .orderBy('rejection_id', 'desc')
    .limit(SHOWN_REJECTIONS)
    .execute();
  return rows.map(({ received_at, ...row }) => ({ receivedAt: received_at.toISOString(), ...row }));
}
