import { expect, test } from 'vitest';
import { linkFor } from '../../../api/accounts/linkFor.ts';
import { addTestPerson, PASSWORD, signIn, withApp } from '../../support/testApp.ts';

const levelkeep = withApp();

test('the only administrator comes back with a link made on the server itself', async () => {
  await addTestPerson(levelkeep, 'ada@example.org', 'administrator');
  const { path } = await linkFor(levelkeep.db, 'Ada@example.org', Date.now());
  const token = path.split('#')[1];
  const chosen = `${PASSWORD}, a new one`;
  const answer = await levelkeep.send(null, 'POST', '/api/links/accept', { token, password: chosen });
  expect(answer.status).toBe(200);
  expect((await signIn(levelkeep, 'ada@example.org', chosen)).status).toBe(200);
  expect((await signIn(levelkeep, 'ada@example.org')).status).toBe(401);
  const audit = await levelkeep.db
    .selectFrom('audit')
    .select(['by_whom', 'action'])
    .orderBy('audit_id')
    .execute();
  expect(audit[0]).toEqual({ by_whom: 'command line', action: 'issue password link' });
});

test('an address that nobody has is answered with those there are', async () => {
  await expect(linkFor(levelkeep.db, 'eve@example.org', Date.now())).rejects.toThrow(
    'nobody has the address eve@example.org; there are: ada@example.org',
  );
});
