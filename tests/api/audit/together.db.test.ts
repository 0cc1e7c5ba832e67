import { sql } from 'kysely';
import { beforeAll, expect, test } from 'vitest';
import { cookieOf, ORIGIN, signIn, withApp } from '../../support/testApp.ts';
import { CHANGE_CALLS, type Given } from './changeCalls.ts';
import { givenEverything } from './givenEverything.ts';

const levelkeep = withApp();
let given: Given;
let cookie = '';

/** The audit itself; when a token was last used; and frequencies that a sweep may name, which say nothing by themselves. */
const NOT_COMPARED = ['audit', 'automation_token', 'grid'];

beforeAll(async () => {
  given = (await givenEverything(levelkeep)).given;
  cookie = cookieOf(await signIn(levelkeep, 'boss@quillhaven.example'));
  await sql`alter table audit add constraint nothing_more check (false) not valid`.execute(levelkeep.db);
});

/** A digest of each table's rows. */
async function standing(): Promise<Record<string, string | null>> {
  const { rows: tables } = await sql<{ name: string }>`
    select relname as name from pg_class join pg_namespace on pg_namespace.oid = relnamespace
    where nspname = 'public' and relkind in ('r', 'p') and not relispartition order by relname`.execute(
    levelkeep.db,
  );
  const digests = tables
    .filter(({ name }) => !NOT_COMPARED.includes(name))
    .map(
      ({ name }) => sql`select ${name} as name, md5(string_agg(one::text, ';' order by one::text)) as digest
        from ${sql.table(name)} as one`,
    );
  const { rows } = await sql<{ name: string; digest: string | null }>`
    ${sql.join(digests, sql` union all `)}`.execute(levelkeep.db);
  return Object.fromEntries(rows.map(({ name, digest }) => [name, digest]));
}

function send(route: string): Promise<Response> {
  const { path, body, signedIn } = CHANGE_CALLS[route]!(given);
  const method = route.split(' ')[0]!;
  if (!signedIn) return levelkeep.send('administrator', method, path, body);
  const headers = { 'content-type': 'application/json', origin: ORIGIN, cookie };
  return Promise.resolve(
    levelkeep.app.request(ORIGIN + path, { method, headers, body: JSON.stringify(body) }),
  );
}

test.each(Object.keys(CHANGE_CALLS))('%s changes nothing when the audit can’t keep it', async (route) => {
  const before = await standing();
  const answer = await send(route);
  expect(await answer.text()).not.toContain('nothing_more');
  expect(answer.status).toBe(500);
  expect(await standing()).toEqual(before);
});
