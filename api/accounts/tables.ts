import type { ColumnType, Generated, Kysely, Selectable } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { Database } from '../../ingest/store/schema.ts';
import type { Role } from './actor.ts';

/** Who may come in and with what; migration 0005 says the same to PostgreSQL. */
export type AccountTables = {
  person: PersonTable;
  credential: CredentialTable;
  person_session: PersonSessionTable;
  one_time_link: OneTimeLinkTable;
  automation_token: AutomationTokenTable;
};

export type AccountsDb = Kysely<Database & AccountTables>;

/** The same connection, with the account tables in view. */
export function withAccounts(db: Db): AccountsDb {
  return db.withTables<AccountTables>();
}

export interface PersonTable {
  id: string;
  name: string;
  email: string;
  email_verified: boolean;
  role: Role;
  disabled: boolean;
  created_at: Generated<Date>;
  updated_at: Generated<Date>;
}

/** How a person proves to be who they say: one row with the password's hash. */
export interface CredentialTable {
  id: string;
  account_id: string;
  provider_id: string;
  person_id: string;
  password: string | null;
  created_at: Generated<Date>;
  updated_at: Date;
}

export interface PersonSessionTable {
  id: string;
  person_id: string;
  token: string;
  created_at: Date;
  updated_at: Date;
  expires_at: Date;
}

export const LINK_PURPOSES = ['setup', 'invitation', 'password'] as const;
export type LinkPurpose = (typeof LINK_PURPOSES)[number];

export interface OneTimeLinkTable {
  link_id: Generated<number>;
  secret_sha256: Buffer;
  purpose: LinkPurpose;
  role: Role;
  /** Null until the person who follows the link says. */
  email: string | null;
  /** Whose password the link sets; null for links that make an account. */
  person_id: string | null;
  created_by: string;
  created_at: Generated<Date>;
  expires_at: Date;
  used_at: ColumnType<Date | null, undefined, Date>;
}

export interface AutomationTokenTable {
  token_id: Generated<number>;
  secret_sha256: Buffer;
  label: string;
  role: Role;
  created_by: string;
  created_at: Generated<Date>;
  expires_at: Date | null;
  last_used_at: ColumnType<Date | null, undefined, Date>;
  revoked_at: ColumnType<Date | null, undefined, Date>;
}

export type Person = Selectable<PersonTable>;
export type OneTimeLink = Selectable<OneTimeLinkTable>;
export type AutomationToken = Selectable<AutomationTokenTable>;
