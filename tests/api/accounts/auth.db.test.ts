import { getMigrations } from 'better-auth/db/migration';
import { beforeAll, describe, expect, test } from 'vitest';
import { createAuth } from '../../../api/accounts/auth.ts';
import { changePerson } from '../../../api/accounts/people.ts';
import { withAccounts } from '../../../api/accounts/tables.ts';
import { addTestPerson, cookieOf, ORIGIN, signIn, withApp } from '../../support/testApp.ts';

const levelkeep = withApp();

function asBrowser(
  cookie: string,
  method: string,
  path: string,
  headers: Record<string, string> = {},
  body?: unknown,
) {
  return levelkeep.app.request(ORIGIN + path, {
    method,
    headers: { cookie, 'content-type': 'application/json', ...headers },
    ...(body !== undefined && { body: JSON.stringify(body) }),
  });
}

describe('the tables of migration 0005', () => {
  test('hold all that better-auth looks for', async () => {
    const { options } = createAuth({ db: levelkeep.db, origin: ORIGIN, secret: 'x'.repeat(32) });
    const missing = await getMigrations(options, { throwOnUnsafe: false });
    expect(missing.toBeCreated).toEqual([]);
    expect(missing.toBeAdded).toEqual([]);
    expect(missing.toBeAddedIndexes).toEqual([]);
    expect(missing.schemaProblems).toEqual([]);
  });
});

describe('signing in', () => {
  test('sets a cookie that scripts cannot read and other sites cannot send', async () => {
    await addTestPerson(levelkeep, 'cookie@example.org', 'viewer');
    const answer = await signIn(levelkeep, 'cookie@example.org', undefined, '192.0.2.10');
    expect(answer.status).toBe(200);
    const cookie = answer.headers.getSetCookie().find((line) => line.includes('session_token'));
    expect(cookie).toMatch(/HttpOnly/);
    expect(cookie).toMatch(/SameSite=Strict/);

    const me = await asBrowser(cookieOf(answer), 'GET', '/api/me');
    expect(await me.json()).toEqual({
      name: 'cookie',
      email: 'cookie@example.org',
      role: 'viewer',
      via: 'session',
    });
  });

  test('with a wrong password is refused in the shape of every error', async () => {
    await addTestPerson(levelkeep, 'wrong@example.org', 'viewer');
    const answer = await signIn(levelkeep, 'wrong@example.org', 'not the password', '192.0.2.11');
    expect(answer.status).toBe(401);
    const { error } = (await answer.json()) as { error: { code: string; action: string } };
    expect(error.code).toBe('invalid-email-or-password');
    expect(error.action).not.toBe('');
  });

  test('more than ten times in a minute from one address is refused with Retry-After; another address may', async () => {
    await addTestPerson(levelkeep, 'guess@example.org', 'viewer');
    const statuses: number[] = [];
    let last: Response | null = null;
    for (let i = 0; i < 12; i += 1) {
      last = await signIn(levelkeep, 'guess@example.org', `guess number ${i}`, '192.0.2.12');
      statuses.push(last.status);
    }
    expect(statuses).toEqual([...Array<number>(10).fill(401), 429, 429]);
    expect(Number(last!.headers.get('retry-after'))).toBeGreaterThan(0);
    expect((await signIn(levelkeep, 'guess@example.org', undefined, '192.0.2.13')).status).toBe(200);
  });

  test('nobody can make an account of their own', async () => {
    const answer = await asBrowser(
      '',
      'POST',
      '/api/auth/sign-up/email',
      { origin: ORIGIN },
      {
        email: 'self@example.org',
        password: 'correct horse battery',
        name: 'self',
      },
    );
    expect(answer.status).toBe(404);
  });

  test('nobody can give themselves a role', async () => {
    await addTestPerson(levelkeep, 'climb@example.org', 'viewer');
    const cookie = cookieOf(await signIn(levelkeep, 'climb@example.org', undefined, '192.0.2.14'));
    const body = { role: 'administrator', disabled: false };
    const answer = await asBrowser(cookie, 'POST', '/api/auth/update-user', { origin: ORIGIN }, body);
    expect(answer.status).toBe(400);
    const me = (await (await asBrowser(cookie, 'GET', '/api/me')).json()) as { role: string };
    expect(me.role).toBe('viewer');
  });

  test('a disabled account is refused, and its sessions end at once', async () => {
    const id = await addTestPerson(levelkeep, 'gone@example.org', 'viewer');
    await addTestPerson(levelkeep, 'keeper@example.org', 'administrator');
    const cookie = cookieOf(await signIn(levelkeep, 'gone@example.org', undefined, '192.0.2.15'));
    await changePerson(levelkeep.db, id, { disabled: true }, Date.now());

    expect((await asBrowser(cookie, 'GET', '/api/me')).status).toBe(401);
    const again = await signIn(levelkeep, 'gone@example.org', undefined, '192.0.2.15');
    expect(again.status).toBe(403);
    expect(await again.json()).toMatchObject({ error: { code: 'account-disabled' } });
  });

  test('a session ends when signing out', async () => {
    await addTestPerson(levelkeep, 'out@example.org', 'viewer');
    const cookie = cookieOf(await signIn(levelkeep, 'out@example.org', undefined, '192.0.2.16'));
    expect((await asBrowser(cookie, 'POST', '/api/auth/sign-out', { origin: ORIGIN }, {})).status).toBe(200);
    expect((await asBrowser(cookie, 'GET', '/api/me')).status).toBe(401);
  });

  test('stores no password and no secret in the clear', async () => {
    await addTestPerson(levelkeep, 'clear@example.org', 'viewer');
    const rows = await withAccounts(levelkeep.db).selectFrom('credential').select('password').execute();
    for (const { password } of rows) expect(password).not.toContain('correct horse');
  });
});

describe('changes asked for with a cookie', () => {
  const change = { name: 'renamed' };
  let cookie = '';

  beforeAll(async () => {
    await addTestPerson(levelkeep, 'origin@example.org', 'viewer');
    cookie = cookieOf(await signIn(levelkeep, 'origin@example.org', undefined, '192.0.2.20'));
  });

  test.each([
    ['from our own page', { 'sec-fetch-site': 'same-origin' }, 200],
    ['from our own origin, in an older browser', { origin: ORIGIN }, 200],
    ["from another site's page", { 'sec-fetch-site': 'cross-site', origin: 'http://evil.example' }, 403],
    ['from a neighbour under the same domain', { 'sec-fetch-site': 'same-site' }, 403],
    ['from another origin, in an older browser', { origin: 'http://evil.example' }, 403],
    ['from nowhere that can be told', {}, 403],
  ])('%s', async (_, headers, status) => {
    const answer = await asBrowser(cookie, 'POST', '/api/auth/update-user', headers, change);
    expect(answer.status).toBe(status);
  });
});
