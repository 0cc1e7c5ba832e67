import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import { ApiError } from '../errors.ts';
import type { Role } from './actor.ts';
import { addPerson, replacePassword } from './addPerson.ts';
import { hashOfSecret, newSecret } from './secret.ts';
import { type AccountsDb, type LinkPurpose, type OneTimeLink, withAccounts } from './tables.ts';

const DAY_MS = 86_400_000;
const LIFE_MS: Record<LinkPurpose, number> = { setup: DAY_MS, invitation: 7 * DAY_MS, password: DAY_MS };
const PAGE: Record<LinkPurpose, string> = { setup: '/welcome', invitation: '/invite', password: '/invite' };

export interface NewLink {
  readonly purpose: LinkPurpose;
  readonly role: Role;
  readonly email: string | null;
  readonly personId: string | null;
  readonly createdBy: string;
}

export interface IssuedLink {
  readonly linkId: number;
  /** Path and fragment. A fragment never leaves the browser, so the secret stays out of logs. */
  readonly path: string;
  readonly expiresAt: Date;
}

/** What the person who follows a link gives. */
export interface LinkAnswer {
  readonly token: string;
  readonly name: string;
  /** Needed where the link names no address; ignored where it does. */
  readonly email: string | null;
  readonly passwordHash: string;
}

/** Makes a link that works once. Only its hash is stored: `path` can be shown this once. */
export async function issueLink(db: Db, wanted: NewLink, nowMs: number): Promise<IssuedLink> {
  const token = newSecret('lkl');
  const expiresAt = new Date(nowMs + LIFE_MS[wanted.purpose]);
  const { link_id } = await withAccounts(db)
    .insertInto('one_time_link')
    .values({
      secret_sha256: hashOfSecret(token),
      purpose: wanted.purpose,
      role: wanted.role,
      email: wanted.email,
      person_id: wanted.personId,
      created_by: wanted.createdBy,
      expires_at: expiresAt,
    })
    .returning('link_id')
    .executeTakeFirstOrThrow();
  return { linkId: link_id, path: `${PAGE[wanted.purpose]}#${token}`, expiresAt };
}

/** A link for the first administrator while there is nobody; null once there is somebody. Older ones end. */
export async function issueSetupLink(db: Db, nowMs: number): Promise<IssuedLink | null> {
  if (await anybodyThere(withAccounts(db))) return null;
  await withAccounts(db).deleteFrom('one_time_link').where('purpose', '=', 'setup').execute();
  const link = { purpose: 'setup', role: 'administrator', email: null, personId: null } as const;
  return issueLink(db, { ...link, createdBy: 'first start' }, nowMs);
}

/** The link that `token` opens. Throws 404 when it is unknown, used or over. */
export async function readLink(db: Db, token: string, nowMs: number): Promise<OneTimeLink> {
  const link = await withAccounts(db)
    .selectFrom('one_time_link')
    .selectAll()
    .where('secret_sha256', '=', hashOfSecret(token))
    .where('used_at', 'is', null)
    .where('expires_at', '>', new Date(nowMs))
    .executeTakeFirst();
  if (!link) throw linkIsOver();
  return link;
}

/**
 * Uses a link up: makes the account it offers, or sets the password it was made for. Of two requests with
 * one link only one succeeds, and only one administrator ever comes from set-up links.
 *
 * @returns the address to sign in with
 */
export function acceptLink(db: Db, answer: LinkAnswer, nowMs: number): Promise<string> {
  return inTransaction(db, async (plain) => {
    const trx = withAccounts(plain);
    const link = await useUp(trx, answer.token, new Date(nowMs));
    if (link.person_id !== null) return setPassword(trx, link.person_id, answer.passwordHash);
    if (link.purpose === 'setup') await refuseSecondSetup(trx);
    return makeAccount(trx, link, answer);
  });
}

async function useUp(trx: AccountsDb, token: string, now: Date): Promise<OneTimeLink> {
  const link = await trx
    .updateTable('one_time_link')
    .set({ used_at: now })
    .where('secret_sha256', '=', hashOfSecret(token))
    .where('used_at', 'is', null)
    .where('expires_at', '>', now)
    .returningAll()
    .executeTakeFirst();
  if (!link) throw linkIsOver();
  return link;
}

async function refuseSecondSetup(trx: AccountsDb): Promise<void> {
  // Two servers that start at once may each have printed a link.
  await sql`lock table person in share row exclusive mode`.execute(trx);
  if (await anybodyThere(trx)) throw linkIsOver();
}

async function makeAccount(trx: AccountsDb, link: OneTimeLink, answer: LinkAnswer): Promise<string> {
  const email = link.email ?? answer.email;
  if (email === null) throw new RangeError('a set-up link needs the address to sign in with');
  const { name, passwordHash } = answer;
  await addPerson(trx, { name, email, role: link.role, passwordHash });
  return email;
}

async function setPassword(trx: AccountsDb, personId: string, passwordHash: string): Promise<string> {
  await replacePassword(trx, personId, passwordHash);
  const { email } = await trx
    .selectFrom('person')
    .select('email')
    .where('id', '=', personId)
    .executeTakeFirstOrThrow();
  return email;
}

async function anybodyThere(db: AccountsDb): Promise<boolean> {
  return (await db.selectFrom('person').select('id').limit(1).executeTakeFirst()) !== undefined;
}

function linkIsOver(): ApiError {
  return new ApiError(
    404,
    'link-over',
    'this link is unknown, was used already, or has expired',
    'ask an administrator for a new one; before the first account, restart the server to get a new set-up link',
  );
}
