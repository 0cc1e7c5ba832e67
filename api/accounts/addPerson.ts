import { randomUUID } from 'node:crypto';
import { ApiError } from '../errors.ts';
import type { Role } from './actor.ts';
import type { AccountsDb } from './tables.ts';

export interface NewPerson {
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  /** As better-auth's `hashPassword` makes it. */
  readonly passwordHash: string;
}

/** Makes an account that can sign in, inside the caller's transaction. Throws 409 when the address has one. */
export async function addPerson(db: AccountsDb, person: NewPerson): Promise<string> {
  const { name, role } = person;
  const email = person.email.toLowerCase();
  const id = randomUUID();
  const added = await db
    .insertInto('person')
    .values({ id, name, email, email_verified: false, role, disabled: false })
    .onConflict((conflict) => conflict.column('email').doNothing())
    .returning('id')
    .executeTakeFirst();
  if (!added) {
    throw new ApiError(
      409,
      'email-taken',
      `email ${email} has an account already`,
      'sign in with it instead',
    );
  }
  await addCredential(db, id, person.passwordHash);
  return id;
}

/** Gives a person the password behind `passwordHash`, in place of any other, and ends the person's sessions. */
export async function replacePassword(db: AccountsDb, personId: string, passwordHash: string): Promise<void> {
  await db.deleteFrom('credential').where('person_id', '=', personId).execute();
  await db.deleteFrom('person_session').where('person_id', '=', personId).execute();
  await addCredential(db, personId, passwordHash);
}

async function addCredential(db: AccountsDb, personId: string, password: string): Promise<void> {
  await db
    .insertInto('credential')
    .values({
      id: randomUUID(),
      person_id: personId,
      provider_id: 'credential',
      account_id: personId,
      password,
      updated_at: new Date(),
    })
    .execute();
}
