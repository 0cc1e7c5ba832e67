import { expect, test } from 'vitest';
import { withAccounts } from '../../../api/accounts/tables.ts';
import { ORIGIN, withApp } from '../../support/testApp.ts';

const DAY_MS = 86_400_000;
const levelkeep = withApp();

async function issue(body: Record<string, unknown>): Promise<{ tokenId: number; token: string }> {
  const answer = await levelkeep.send('administrator', 'POST', '/api/tokens', body);
  expect(answer.status).toBe(201);
  return (await answer.json()) as { tokenId: number; token: string };
}

const me = (token: string) =>
  levelkeep.app.request(`${ORIGIN}/api/me`, { headers: { authorization: `Bearer ${token}` } });

test('a token acts in its role, under its label', async () => {
  const { token } = await issue({ label: 'nightly export', role: 'technician' });
  expect(await (await me(token)).json()).toEqual({
    name: 'nightly export',
    email: null,
    role: 'technician',
    via: 'token',
  });
});

test('a token holds 256 random bits, of which only a hash is stored', async () => {
  const { tokenId, token } = await issue({ label: 'secret', role: 'viewer' });
  expect(Buffer.from(token.replace('lkt_', ''), 'base64url')).toHaveLength(32);
  const row = await withAccounts(levelkeep.db)
    .selectFrom('automation_token')
    .selectAll()
    .where('token_id', '=', tokenId)
    .executeTakeFirstOrThrow();
  expect(JSON.stringify(row)).not.toContain(token);
  const listed = await (await levelkeep.send('administrator', 'GET', '/api/tokens')).text();
  expect(listed).not.toContain(token);
});

test('a revoked token is refused at once', async () => {
  const { tokenId, token } = await issue({ label: 'revoked', role: 'viewer' });
  expect((await levelkeep.send('administrator', 'DELETE', `/api/tokens/${tokenId}`)).status).toBe(204);
  expect((await me(token)).status).toBe(401);
});

test('a token is refused after its end', async () => {
  const expiresAt = new Date(Date.now() + DAY_MS).toISOString();
  const { token } = await issue({ label: 'short', role: 'viewer', expiresAt });
  expect((await me(token)).status).toBe(200);
  levelkeep.nowMs = Date.now() + DAY_MS + 1000;
  const late = await me(token);
  levelkeep.nowMs = null;
  expect(late.status).toBe(401);
});

test('an end in the past is refused', async () => {
  const body = { label: 'past', role: 'viewer', expiresAt: '2001-01-01T00:00:00Z' };
  const answer = await levelkeep.send('administrator', 'POST', '/api/tokens', body);
  expect(answer.status).toBe(422);
  expect(await answer.json()).toMatchObject({ error: { fields: { expiresAt: 'must lie in the future' } } });
});

test('the last use is noted', async () => {
  const { tokenId, token } = await issue({ label: 'used', role: 'viewer' });
  await me(token);
  const answer = await levelkeep.send('administrator', 'GET', '/api/tokens');
  const { tokens } = (await answer.json()) as { tokens: { tokenId: number; lastUsedAt: string | null }[] };
  expect(tokens.find((row) => row.tokenId === tokenId)!.lastUsedAt).not.toBeNull();
});
