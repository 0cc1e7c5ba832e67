import type { Db } from '../../ingest/store/database.ts';
import { NotFound } from '../errors.ts';
import type { Actor, Role } from './actor.ts';
import { hashOfSecret, newSecret } from './secret.ts';
import { type AutomationToken, withAccounts } from './tables.ts';

const LAST_USE_GRAIN_MS = 60_000;

export interface NewToken {
  readonly label: string;
  readonly role: Role;
  readonly expiresAt: Date | null;
  readonly createdBy: string;
}

/** Makes a token for scripts. Only its hash is stored, so `token` can be shown this once and never again. */
export async function issueToken(db: Db, wanted: NewToken): Promise<{ tokenId: number; token: string }> {
  const token = newSecret('lkt');
  const { token_id } = await withAccounts(db)
    .insertInto('automation_token')
    .values({
      secret_sha256: hashOfSecret(token),
      label: wanted.label,
      role: wanted.role,
      created_by: wanted.createdBy,
      expires_at: wanted.expiresAt,
    })
    .returning('token_id')
    .executeTakeFirstOrThrow();
  return { tokenId: token_id, token };
}

/** Who acts with `token` at `nowMs`, noting the use to the minute; null when it is unknown, revoked or over. */
export async function actorOfToken(db: Db, token: string, nowMs: number): Promise<Actor | null> {
  const now = new Date(nowMs);
  const grainBefore = new Date(nowMs - LAST_USE_GRAIN_MS);
  const row = await withAccounts(db)
    .selectFrom('automation_token')
    .selectAll()
    .where('secret_sha256', '=', hashOfSecret(token))
    .where('revoked_at', 'is', null)
    .where((eb) => eb.or([eb('expires_at', 'is', null), eb('expires_at', '>', now)]))
    .executeTakeFirst();
  if (!row) return null;

  await withAccounts(db)
    .updateTable('automation_token')
    .set({ last_used_at: now })
    .where('token_id', '=', row.token_id)
    .where((eb) => eb.or([eb('last_used_at', 'is', null), eb('last_used_at', '<', grainBefore)]))
    .execute();
  return { name: row.label, email: null, role: row.role, via: 'token' };
}

/** Every token ever made, newest first. */
export function listTokens(db: Db): Promise<AutomationToken[]> {
  return withAccounts(db).selectFrom('automation_token').selectAll().orderBy('token_id', 'desc').execute();
}

/** Ends a token at once. Revoking twice is no error. */
export async function revokeToken(db: Db, tokenId: number, nowMs: number): Promise<void> {
  const { numUpdatedRows } = await withAccounts(db)
    .updateTable('automation_token')
    .set((eb) => ({ revoked_at: eb.fn.coalesce('revoked_at', eb.val(new Date(nowMs))) }))
    .where('token_id', '=', tokenId)
    .executeTakeFirst();
  if (numUpdatedRows === 0n) throw new NotFound('token', tokenId);
}
