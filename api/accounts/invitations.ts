import type { Db } from '../../ingest/store/database.ts';
import { ApiError, NotFound } from '../errors.ts';
import type { Invitation } from '../schemas/accounts.ts';
import type { Role } from './actor.ts';
import { type IssuedLink, issueLink } from './oneTimeLinks.ts';
import { withAccounts } from './tables.ts';

/** A link that makes an account for `email` in `role`; earlier ones for that address end. Throws 409 when it has one. */
export async function inviteLink(
  db: Db,
  email: string,
  role: Role,
  createdBy: string,
  nowMs: number,
): Promise<IssuedLink> {
  const address = email.toLowerCase();
  const taken = withAccounts(db).selectFrom('person').select('id').where('email', '=', address);
  if (await taken.executeTakeFirst()) {
    throw new ApiError(
      409,
      'email-taken',
      `email ${address} has an account already`,
      'change its role instead',
    );
  }
  await withAccounts(db)
    .deleteFrom('one_time_link')
    .where('purpose', '=', 'invitation')
    .where('email', '=', address)
    .where('used_at', 'is', null)
    .execute();
  const wanted = { purpose: 'invitation', role, email: address, personId: null, createdBy } as const;
  return issueLink(db, wanted, nowMs);
}

/** Invitations that can still be used at `nowMs`, newest first. */
export async function listInvitations(db: Db, nowMs: number): Promise<Invitation[]> {
  const rows = await withAccounts(db)
    .selectFrom('one_time_link')
    .selectAll()
    .where('purpose', '=', 'invitation')
    .where('used_at', 'is', null)
    .where('expires_at', '>', new Date(nowMs))
    .orderBy('link_id', 'desc')
    .execute();
  return rows.map(({ link_id, email, role, created_by, created_at, expires_at }) => ({
    linkId: link_id,
    email,
    role,
    createdBy: created_by,
    createdAt: created_at.toISOString(),
    expiresAt: expires_at.toISOString(),
  }));
}

/** Throws 404 when there is no such unused invitation. */
export async function withdrawInvitation(db: Db, linkId: number): Promise<void> {
  const { numDeletedRows } = await withAccounts(db)
    .deleteFrom('one_time_link')
    .where('link_id', '=', linkId)
    .where('purpose', '=', 'invitation')
    .where('used_at', 'is', null)
    .executeTakeFirst();
  if (numDeletedRows === 0n) throw new NotFound('invitation', linkId);
}
