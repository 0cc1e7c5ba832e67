import type { Db } from '../../ingest/store/database.ts';
import { audited } from '../audit/audited.ts';
import { type IssuedLink, issueLink } from './oneTimeLinks.ts';
import { withAccounts } from './tables.ts';

/**
 * A link that lets the owner of an account choose a new password, for whoever has the server's own machine in hand: the way back when
 * the only administrator has forgotten theirs.
 *
 * @throws Error naming the addresses there are when none is `email`
 */
export async function linkFor(db: Db, email: string, nowMs: number): Promise<IssuedLink> {
  const people = await withAccounts(db).selectFrom('person').selectAll().orderBy('email').execute();
  const person = people.find((each) => each.email.toLowerCase() === email.toLowerCase());
  if (person === undefined) {
    const known = people.map((each) => each.email).join(', ') || 'nobody yet';
    throw new Error(`nobody has the address ${email}; there are: ${known}`);
  }
  if (person.disabled)
    throw new Error(`the account of ${email} is disabled: another administrator can enable it`);
  const { id, role } = person;
  const by = 'command line';
  return audited(
    { db, actor: { name: by, via: 'server machine' }, nowMs },
    (trx) =>
      issueLink(trx, { purpose: 'password', role, email: person.email, personId: id, createdBy: by }, nowMs),
    {
      action: 'issue password link',
      subjectKind: 'account',
      subjectId: id,
      after: async (_, { expiresAt }) => ({ email: person.email, expiresAt }),
    },
  );
}
