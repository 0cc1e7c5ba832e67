import { type Kysely, sql } from 'kysely';

/**
 * People, their passwords and sessions in the shape that better-auth reads (a test asks it), then what is ours:
 * links that work once, and tokens for scripts. Only hashes of secrets are stored.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table person (
      id text primary key,
      name text not null,
      email text not null constraint person_email_unique unique,
      email_verified boolean not null,
      image text,
      role text not null constraint person_role_known
        check (role in ('viewer', 'technician', 'manager', 'administrator')),
      disabled boolean not null,
      created_at timestamptz not null default now(),
      updated_at timestamptz not null default now()
    )`.execute(db);

  await sql`
    create table person_session (
      id text primary key,
      person_id text not null references person on delete cascade,
      token text not null unique,
      ip_address text,
      user_agent text,
      expires_at timestamptz not null,
      created_at timestamptz not null default now(),
      updated_at timestamptz not null
    )`.execute(db);
  await sql`create index person_session_person_id_idx on person_session (person_id)`.execute(db);

  await sql`
    create table credential (
      id text primary key,
      person_id text not null references person on delete cascade,
      provider_id text not null,
      account_id text not null,
      password text,
      access_token text,
      refresh_token text,
      id_token text,
      access_token_expires_at timestamptz,
      refresh_token_expires_at timestamptz,
      scope text,
      created_at timestamptz not null default now(),
      updated_at timestamptz not null
    )`.execute(db);
  await sql`create index credential_person_id_idx on credential (person_id)`.execute(db);

  await sql`
    create table verification (
      id text primary key,
      identifier text not null,
      value text not null,
      expires_at timestamptz not null,
      created_at timestamptz not null default now(),
      updated_at timestamptz not null default now()
    )`.execute(db);
  await sql`create index verification_identifier_idx on verification (identifier)`.execute(db);

  await sql`
    create table one_time_link (
      link_id bigint generated always as identity primary key,
      secret_sha256 bytea not null constraint one_time_link_secret_unique unique,
      purpose text not null constraint one_time_link_purpose_known
        check (purpose in ('setup', 'invitation', 'password')),
      role text not null,
      email text,
      person_id text references person on delete cascade,
      created_by text not null,
      created_at timestamptz not null default now(),
      expires_at timestamptz not null,
      used_at timestamptz,
      constraint one_time_link_password_of_someone check ((purpose = 'password') = (person_id is not null))
    )`.execute(db);

  await sql`
    create table automation_token (
      token_id bigint generated always as identity primary key,
      secret_sha256 bytea not null constraint automation_token_secret_unique unique,
      label text not null,
      role text not null,
      created_by text not null,
      created_at timestamptz not null default now(),
      expires_at timestamptz,
      last_used_at timestamptz,
      revoked_at timestamptz
    )`.execute(db);
}
