import { describe, expect, test } from 'vitest';
import { issueSetupLink } from '../../../api/accounts/oneTimeLinks.ts';
import { withAccounts } from '../../../api/accounts/tables.ts';
import { PASSWORD, signIn, withApp } from '../../support/testApp.ts';

const DAY_MS = 86_400_000;
const levelkeep = withApp();

const tokenOf = (link: { path: string } | null) => link!.path.split('#')[1]!;
const accept = (token: string, rest: Record<string, unknown> = {}) =>
  levelkeep.send(null, 'POST', '/api/links/accept', { token, password: PASSWORD, ...rest });
const codeOf = async (answer: Response) => ((await answer.json()) as { error: { code: string } }).error.code;

describe('the set-up link', () => {
  test('is over after a day', async () => {
    const token = tokenOf(await issueSetupLink(levelkeep.db, Date.now()));
    levelkeep.nowMs = Date.now() + DAY_MS + 1000;
    const answer = await accept(token, { name: 'Late', email: 'late@example.org' });
    levelkeep.nowMs = null;
    expect(answer.status).toBe(404);
  });

  test('ends when a newer one is made', async () => {
    const old = tokenOf(await issueSetupLink(levelkeep.db, Date.now()));
    await issueSetupLink(levelkeep.db, Date.now());
    expect((await levelkeep.send(null, 'POST', '/api/links/read', { token: old })).status).toBe(404);
  });

  test('names the fields that are missing', async () => {
    const token = tokenOf(await issueSetupLink(levelkeep.db, Date.now()));
    const answer = await accept(token, { name: 'No address' });
    expect(answer.status).toBe(422);
    expect(await answer.json()).toMatchObject({ error: { fields: { email: expect.any(String) } } });
  });

  test('makes one administrator, however many follow it at once', async () => {
    const token = tokenOf(await issueSetupLink(levelkeep.db, Date.now()));
    const answers = await Promise.all(
      Array.from({ length: 6 }, (_, i) =>
        accept(token, { name: `Racer ${i}`, email: `racer${i}@example.org` }),
      ),
    );
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 404, 404, 404, 404, 404]);
    const people = await withAccounts(levelkeep.db).selectFrom('person').select('role').execute();
    expect(people).toEqual([{ role: 'administrator' }]);
  });

  test('is not made once somebody has an account', async () => {
    expect(await issueSetupLink(levelkeep.db, Date.now())).toBeNull();
  });

  test('of a second server that started at the same moment makes no second administrator', async () => {
    const people = await withAccounts(levelkeep.db).selectFrom('person').selectAll().execute();
    await withAccounts(levelkeep.db).deleteFrom('person').execute();
    const first = tokenOf(await issueSetupLink(levelkeep.db, Date.now()));
    await withAccounts(levelkeep.db).insertInto('person').values(people).execute();

    expect(await codeOf(await accept(first, { name: 'Second', email: 'second@example.org' }))).toBe(
      'link-over',
    );
  });

  test('stores a hash and never the secret', async () => {
    const links = await withAccounts(levelkeep.db).selectFrom('one_time_link').selectAll().execute();
    expect(links.length).toBeGreaterThan(0);
    for (const { secret_sha256 } of links) expect(secret_sha256).toHaveLength(32);
  });
});

describe('an invitation', () => {
  async function invite(email: string, role: string): Promise<string> {
    const answer = await levelkeep.send('administrator', 'POST', '/api/invitations', { email, role });
    expect(answer.status).toBe(201);
    const { url } = (await answer.json()) as { url: string };
    return url.split('#')[1]!;
  }

  test('makes an account with the invited address and role, whatever the answer says', async () => {
    const token = await invite('Tess@Example.org', 'technician');
    const answer = await accept(token, { name: 'Tess', email: 'other@example.org', role: 'administrator' });
    expect(await answer.json()).toEqual({ email: 'tess@example.org' });
    expect((await signIn(levelkeep, 'tess@example.org')).status).toBe(200);
    const person = await withAccounts(levelkeep.db)
      .selectFrom('person')
      .select('role')
      .where('email', '=', 'tess@example.org')
      .executeTakeFirstOrThrow();
    expect(person.role).toBe('technician');
  });

  test('is listed until it is used, and works once', async () => {
    const token = await invite('once@example.org', 'viewer');
    const listed = async () =>
      (
        (await (await levelkeep.send('administrator', 'GET', '/api/invitations')).json()) as {
          invitations: { email: string }[];
        }
      ).invitations.map(({ email }) => email);
    expect(await listed()).toContain('once@example.org');
    expect((await accept(token, { name: 'Once' })).status).toBe(200);
    expect((await accept(token, { name: 'Twice' })).status).toBe(404);
    expect(await listed()).not.toContain('once@example.org');
  });

  test('is over after seven days', async () => {
    const token = await invite('week@example.org', 'viewer');
    levelkeep.nowMs = Date.now() + 7 * DAY_MS + 1000;
    const answer = await accept(token, { name: 'Week' });
    levelkeep.nowMs = null;
    expect(answer.status).toBe(404);
  });

  test('is refused for an address that has an account', async () => {
    const body = { email: 'tess@example.org', role: 'viewer' };
    const answer = await levelkeep.send('administrator', 'POST', '/api/invitations', body);
    expect(answer.status).toBe(409);
  });
});

test('a password link sets a new password, ends sessions, and the old password with them', async () => {
  const person = await withAccounts(levelkeep.db)
    .selectFrom('person')
    .select('id')
    .where('email', '=', 'tess@example.org')
    .executeTakeFirstOrThrow();
  const made = await levelkeep.send('administrator', 'POST', `/api/accounts/${person.id}/password-link`);
  const { url } = (await made.json()) as { url: string };
  const password = 'another long password';
  expect((await accept(url.split('#')[1]!, { password })).status).toBe(200);
  const sessions = await withAccounts(levelkeep.db).selectFrom('person_session').selectAll().execute();
  expect(sessions.filter(({ person_id }) => person_id === person.id)).toEqual([]);
  expect((await signIn(levelkeep, 'tess@example.org', PASSWORD)).status).toBe(401);
  expect((await signIn(levelkeep, 'tess@example.org', password)).status).toBe(200);
});
