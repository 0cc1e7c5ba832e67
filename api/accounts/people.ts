import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import { ApiError, NotFound } from '../errors.ts';
import type { Role } from './actor.ts';
import { type AccountsDb, type Person, withAccounts } from './tables.ts';

export interface PersonChange {
  readonly name?: string | undefined;
  readonly role?: Role | undefined;
  readonly disabled?: boolean | undefined;
}

export interface PersonSummary extends Person {
  /** When the newest session was made or renewed; null when there is none. */
  readonly lastSeenAt: Date | null;
}

/** Everybody with an account, by name. */
export async function listPeople(db: Db): Promise<PersonSummary[]> {
  return withAccounts(db)
    .selectFrom('person')
    .selectAll('person')
    .select((eb) =>
      eb
        .selectFrom('person_session')
        .select((inner) => inner.fn.max('person_session.updated_at').as('seen'))
        .whereRef('person_session.person_id', '=', 'person.id')
        .as('lastSeenAt'),
    )
    .orderBy('name')
    .orderBy('id')
    .execute();
}

/** Throws 404 when nobody has this id. */
export async function findPerson(db: Db, personId: string): Promise<Person> {
  const person = await withAccounts(db)
    .selectFrom('person')
    .selectAll()
    .where('id', '=', personId)
    .executeTakeFirst();
  if (!person) throw new NotFound('account', personId);
  return person;
}

/** Changes name, role or whether the account is disabled. A change of role or disabling ends its sessions. */
export function changePerson(db: Db, personId: string, change: PersonChange, nowMs: number): Promise<void> {
  return guardingAdministrators(db, async (trx) => {
    const { numUpdatedRows } = await trx
      .updateTable('person')
      .set({ ...change, updated_at: new Date(nowMs) })
      .where('id', '=', personId)
      .executeTakeFirst();
    if (numUpdatedRows === 0n) throw new NotFound('account', personId);
    if (change.role === undefined && change.disabled === undefined) return;
    await trx.deleteFrom('person_session').where('person_id', '=', personId).execute();
  });
}

/** Removes an account with its sessions. What the person signed keeps the name. */
export function removePerson(db: Db, personId: string): Promise<void> {
  return guardingAdministrators(db, async (trx) => {
    const { numDeletedRows } = await trx.deleteFrom('person').where('id', '=', personId).executeTakeFirst();
    if (numDeletedRows === 0n) throw new NotFound('account', personId);
  });
}

/** Undoes `work` when it would leave nobody who can administer. Changes take turns, so two can't each take one. */
async function guardingAdministrators(db: Db, work: (trx: AccountsDb) => Promise<void>): Promise<void> {
  await inTransaction(db, async (plain) => {
    const trx = withAccounts(plain);
    await sql`lock table person in share row exclusive mode`.execute(trx);
    await work(trx);
    const administrator = await trx
      .selectFrom('person')
      .select('id')
      .where('role', '=', 'administrator')
      .where('disabled', '=', false)
      .limit(1)
      .executeTakeFirst();
    if (administrator) return;
    throw new ApiError(
      409,
      'last-administrator',
      'this is the last administrator who can sign in',
      'make somebody else administrator first',
    );
  });
}
