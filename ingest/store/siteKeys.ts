import { createHash, randomBytes } from 'node:crypto';
import type { Db } from './database.ts';

const SECRET_BYTES = 32;
const KEY = /^levelkeep_(\d{1,15})_([A-Za-z0-9_-]{43})$/;
/** Last use is a help to people; a write a request would be none to the database. */
const LAST_USE_STEP_MS = 60_000;

export interface NewSiteKey {
  readonly siteId: number;
  readonly label: string;
  readonly createdBy: string;
}

/**
 * Makes a key that may send sweeps for one site. The key holds 256 random bits and is answered this once: only the
 * SHA-256 of them is stored.
 */
export async function issueSiteKey(db: Db, wanted: NewSiteKey): Promise<{ keyId: number; key: string }> {
  const secret = randomBytes(SECRET_BYTES).toString('base64url');
  const { key_id } = await db
    .insertInto('site_key')
    .values({
      site_id: wanted.siteId,
      secret_sha256: sha256(secret),
      label: wanted.label,
      created_by: wanted.createdBy,
    })
    .returning('key_id')
    .executeTakeFirstOrThrow();
  return { keyId: key_id, key: `levelkeep_${wanted.siteId}_${secret}` };
}

/** Ends a key for good; answers whether there was such a key in force. */
export async function revokeSiteKey(db: Db, siteId: number, keyId: number, nowMs: number): Promise<boolean> {
  const result = await db
    .updateTable('site_key')
    .set({ revoked_at: new Date(nowMs) })
    .where('site_id', '=', siteId)
    .where('key_id', '=', keyId)
    .where('revoked_at', 'is', null)
    .executeTakeFirst();
  return result.numUpdatedRows > 0n;
}

export type KeyCheck = { readonly siteId: number } | 'unknown' | 'revoked';

/** Whose key this is. The site stands in the key itself, so that one site's rows are asked and no others. */
export async function checkSiteKey(db: Db, key: string, nowMs: number): Promise<KeyCheck> {
  const [, site, secret] = KEY.exec(key) ?? [];
  if (site === undefined || secret === undefined) return 'unknown';
  const siteId = Number(site);
  // Equality of a 256-bit hash tells an attacker nothing by its timing.
  const row = await db
    .selectFrom('site_key')
    .select(['key_id', 'revoked_at', 'last_used_at'])
    .where('site_id', '=', siteId)
    .where('secret_sha256', '=', sha256(secret))
    .executeTakeFirst();

  if (row === undefined) return 'unknown';
  if (row.revoked_at !== null) return 'revoked';
  if (nowMs - (row.last_used_at?.getTime() ?? 0) > LAST_USE_STEP_MS) {
    await noteUse(db, siteId, row.key_id, nowMs);
  }
  return { siteId };
}

async function noteUse(db: Db, siteId: number, keyId: number, nowMs: number): Promise<void> {
  await db
    .updateTable('site_key')
    .set({ last_used_at: new Date(nowMs) })
    .where('site_id', '=', siteId)
    .where('key_id', '=', keyId)
    .execute();
}

function sha256(secret: string): Buffer {
  return createHash('sha256').update(secret).digest();
}
