import { beforeEach, expect, test } from 'vitest';
import { withAccounts } from '../../../api/accounts/tables.ts';
import { addTestPerson, cookieOf, ORIGIN, signIn, withApp } from '../../support/testApp.ts';

const levelkeep = withApp();
const change = (id: string, body: Record<string, unknown>) =>
  levelkeep.send('administrator', 'PATCH', `/api/accounts/${id}`, body);

beforeEach(async () => {
  await withAccounts(levelkeep.db).deleteFrom('person').execute();
});

test('the last administrator can be neither demoted, disabled nor removed', async () => {
  const id = await addTestPerson(levelkeep, 'only@example.org', 'administrator');
  for (const body of [{ role: 'manager' }, { disabled: true }]) {
    const answer = await change(id, body);
    expect(answer.status).toBe(409);
    expect(await answer.json()).toMatchObject({ error: { code: 'last-administrator' } });
  }
  expect((await levelkeep.send('administrator', 'DELETE', `/api/accounts/${id}`)).status).toBe(409);
  const { role, disabled } = await withAccounts(levelkeep.db)
    .selectFrom('person')
    .selectAll()
    .executeTakeFirstOrThrow();
  expect({ role, disabled }).toEqual({ role: 'administrator', disabled: false });
});

test('two administrators demoted at once leave one', async () => {
  const ids = [
    await addTestPerson(levelkeep, 'one@example.org', 'administrator'),
    await addTestPerson(levelkeep, 'two@example.org', 'administrator'),
  ];
  const answers = await Promise.all(ids.map((id) => change(id, { role: 'viewer' })));
  expect(answers.map(({ status }) => status).sort()).toEqual([204, 409]);
});

test('a change of role ends the sessions; a change of name does not', async () => {
  await addTestPerson(levelkeep, 'keeper@example.org', 'administrator');
  const id = await addTestPerson(levelkeep, 'moved@example.org', 'viewer');
  const cookie = cookieOf(await signIn(levelkeep, 'moved@example.org'));
  const me = () => levelkeep.app.request(`${ORIGIN}/api/me`, { headers: { cookie } });

  expect((await change(id, { name: 'Renamed' })).status).toBe(204);
  expect(await (await me()).json()).toMatchObject({ name: 'Renamed' });
  expect((await change(id, { role: 'manager' })).status).toBe(204);
  expect((await me()).status).toBe(401);
});

test('accounts are listed without any secret', async () => {
  await addTestPerson(levelkeep, 'listed@example.org', 'administrator');
  const answer = await levelkeep.send('administrator', 'GET', '/api/accounts');
  const { accounts } = (await answer.json()) as { accounts: Record<string, unknown>[] };
  expect(Object.keys(accounts[0]!).sort()).toEqual(
    ['createdAt', 'disabled', 'email', 'id', 'lastSeenAt', 'name', 'role'].sort(),
  );
});

test('a removed account cannot sign in', async () => {
  await addTestPerson(levelkeep, 'keeper@example.org', 'administrator');
  const id = await addTestPerson(levelkeep, 'removed@example.org', 'viewer');
  expect((await levelkeep.send('administrator', 'DELETE', `/api/accounts/${id}`)).status).toBe(204);
  expect((await signIn(levelkeep, 'removed@example.org')).status).toBe(401);
  expect((await change(id, { name: 'x' })).status).toBe(404);
});
