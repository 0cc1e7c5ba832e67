import { hashPassword, verifyPassword } from 'better-auth/crypto';
import { acceptLink, issueLink, issueSetupLink } from '../../api/accounts/oneTimeLinks.ts';
import { withAccounts } from '../../api/accounts/tables.ts';
import type { Db } from '../../ingest/store/database.ts';

export const DEMO_EMAIL = 'demo@quillhaven.example';
const DEMO_NAME = 'Demo administrator';

/**
 * Sees to it that the demo's administrator exists and has this password. Throws where the database already
 * belongs to other people: the demo writes into no installation that is in use.
 */
export async function ensureAdministrator(db: Db, password: string, nowMs: number): Promise<void> {
  const setUp = await issueSetupLink(db, nowMs);
  if (setUp) return follow(db, setUp.path, password, nowMs);

  const account = await withAccounts(db)
    .selectFrom('person')
    .leftJoin('credential', 'credential.person_id', 'person.id')
    .select(['person.id', 'credential.password'])
    .where('person.email', '=', DEMO_EMAIL)
    .executeTakeFirst();
  if (!account) {
    throw new Error(
      'this database has accounts that the demo did not make; give DATABASE_URL of an empty database',
    );
  }
  if (account.password && (await verifyPassword({ hash: account.password, password }))) return;

  const link = { purpose: 'password', role: 'administrator', email: DEMO_EMAIL } as const;
  const { path } = await issueLink(db, { ...link, personId: account.id, createdBy: 'demo' }, nowMs);
  await follow(db, path, password, nowMs);
}

async function follow(db: Db, linkPath: string, password: string, nowMs: number): Promise<void> {
  const token = linkPath.slice(linkPath.indexOf('#') + 1);
  const passwordHash = await hashPassword(password);
  await acceptLink(db, { token, name: DEMO_NAME, email: DEMO_EMAIL, passwordHash }, nowMs);
}
