import { beforeAll, describe, expect, test } from 'vitest';
import { issueToken } from '../../../api/accounts/automationTokens.ts';
import { inviteLink } from '../../../api/accounts/invitations.ts';
import { issueSiteKey } from '../../../ingest/store/siteKeys.ts';
import { aSweep, givenPlan, givenPoint, givenSite, givenSweeps } from '../../support/givenSite.ts';
import { addTestPerson, cookieOf, ORIGIN, PASSWORD, signIn, withApp } from '../../support/testApp.ts';
import { CHANGE_CALLS, type Given, NOT_AUDITED } from './changeCalls.ts';

const levelkeep = withApp();
const START = Date.parse('2026-03-01T00:00:00Z');
const QUARTER_MS = 900_000;
const iso = (ms: number) => new Date(ms).toISOString();
let given: Given;
/** Secrets that the calls are given or answered. */
const secrets: string[] = [];

beforeAll(async () => {
  const { db } = levelkeep;
  const planId = await givenPlan(db);
  const siteId = await givenSite(db, { plan_id: planId });
  const pointId = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  const bareId = await givenPoint(db, siteId, { name: 'floor-1', fed_by: pointId });
  const sweeps = [0, 1, 2, 3].map((i) => aSweep(START + i * QUARTER_MS));
  await givenSweeps(db, siteId, pointId, sweeps);
  const { provider_id } = await db
    .insertInto('provider')
    .values({ name: 'Bayline' })
    .returning('provider_id')
    .executeTakeFirstOrThrow();
  const key = await issueSiteKey(db, { siteId, label: 'old box', createdBy: 'Ada' });
  const token = { label: 'old', role: 'viewer', expiresAt: null, createdBy: 'Ada' } as const;
  await addTestPerson(levelkeep, 'boss@quillhaven.example', 'administrator');
  const invited = await inviteLink(db, 'ivo@quillhaven.example', 'viewer', 'Ada', Date.now());
  const linkToken = invited.path.split('#')[1]!;
  secrets.push(linkToken, PASSWORD);
  given = {
    siteId,
    pointId,
    bareId,
    planId,
    providerId: provider_id,
    keyId: key.keyId,
    tokenId: (await issueToken(db, token)).tokenId,
    accountId: await addTestPerson(levelkeep, 'staying@quillhaven.example', 'viewer'),
    leavingId: await addTestPerson(levelkeep, 'leaving@quillhaven.example', 'viewer'),
    invitationId: (await inviteLink(db, 'gone@quillhaven.example', 'viewer', 'Ada', Date.now())).linkId,
    linkToken,
    from: iso(START),
    to: iso(START + 3 * QUARTER_MS),
  };
});

async function changingRoutes(): Promise<string[]> {
  const answer = await levelkeep.app.request('/openapi.json');
  const { paths } = (await answer.json()) as { paths: Record<string, Record<string, unknown>> };
  return Object.entries(paths)
    .flatMap(([path, item]) => Object.keys(item).map((method) => `${method.toUpperCase()} ${path}`))
    .filter((route) => /^(POST|PUT|PATCH|DELETE) \/api\//.test(route));
}

const kept = () => levelkeep.db.selectFrom('audit').selectAll().orderBy('audit_id').execute();

describe('the audit', () => {
  test('knows every route that changes something: by a call here, or as an exception with its reason', async () => {
    const known = [...Object.keys(CHANGE_CALLS), ...Object.keys(NOT_AUDITED)];
    expect((await changingRoutes()).sort()).toEqual(known.sort());
  });

  test.each(Object.keys(CHANGE_CALLS))('%s leaves one row that says who and what', async (route) => {
    const before = await kept();
    const { path, body } = CHANGE_CALLS[route]!(given);
    const answer = await levelkeep.send('administrator', route.split(' ')[0]!, path, body);
    expect([answer.status, answer.ok ? '' : await answer.text()]).toEqual([answer.status, '']);
    secrets.push(...secretsIn(await answer.text()));

    const added = (await kept()).slice(before.length);
    expect(added).toHaveLength(1);
    const [row] = added;
    const byLink = route === 'POST /api/links/accept';
    expect(row).toMatchObject(
      byLink ? { by_whom: 'Ivo Marsh', via: 'link' } : { by_whom: 'administrator token', via: 'token' },
    );
    expect(row!.before ?? row!.after).not.toBeNull();
  });

  test('a person’s own change of name or password leaves a row too', async () => {
    const cookie = cookieOf(await signIn(levelkeep, 'boss@quillhaven.example'));
    const send = (path: string, body: object) =>
      levelkeep.app.request(`${ORIGIN}/api/auth${path}`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', origin: ORIGIN, cookie },
        body: JSON.stringify(body),
      });
    const rows = (await kept()).length;
    expect((await send('/update-user', { name: 'The Boss' })).status).toBe(200);
    const newPassword = 'an entirely other passphrase';
    expect((await send('/change-password', { currentPassword: PASSWORD, newPassword })).status).toBe(200);
    expect((await send('/change-password', { currentPassword: 'wrong one', newPassword })).ok).toBe(false);
    secrets.push(newPassword);
    expect((await kept()).slice(rows).map(({ action, subject_kind }) => `${action} ${subject_kind}`)).toEqual(
      ['change account', 'set password account'],
    );
  });

  test('holds no secret that was given or answered', async () => {
    const text = JSON.stringify(await kept());
    expect(secrets.length).toBeGreaterThan(5);
    expect(secrets.filter((secret) => text.includes(secret))).toEqual([]);
  });
});

/** Keys, tokens and the fragments of links in an answer. */
function secretsIn(answer: string): string[] {
  return [...answer.matchAll(/(?:levelkeep_\d+_|lkt_|lkl_)[A-Za-z0-9_-]{20,}/g)].map(([secret]) => secret);
}
