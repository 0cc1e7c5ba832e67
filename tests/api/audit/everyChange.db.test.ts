import { beforeAll, describe, expect, test } from 'vitest';
import { cookieOf, ORIGIN, PASSWORD, signIn, withApp } from '../../support/testApp.ts';
import { CHANGE_CALLS, type Given, NOT_AUDITED } from './changeCalls.ts';
import { givenEverything } from './givenEverything.ts';

const levelkeep = withApp();
let given: Given;
/** Secrets that the calls are given or answered. */
const secrets: string[] = [];

beforeAll(async () => {
  const everything = await givenEverything(levelkeep);
  given = everything.given;
  secrets.push(...everything.secrets);
});

async function changingRoutes(): Promise<string[]> {
  const answer = await levelkeep.app.request('/openapi.json');
  const { paths } = (await answer.json()) as { paths: Record<string, Record<string, unknown>> };
  return Object.entries(paths)
    .flatMap(([path, item]) => Object.keys(item).map((method) => `${method.toUpperCase()} ${path}`))
    .filter((route) => /^(POST|PUT|PATCH|DELETE) \/api\//.test(route));
}

let cookie: string | undefined;
/** Sends as a signed-in administrator. */
async function sendAsBoss(method: string, path: string, body: unknown): Promise<Response> {
  cookie ??= cookieOf(await signIn(levelkeep, 'boss@quillhaven.example'));
  const headers = { 'content-type': 'application/json', origin: ORIGIN, cookie };
  return levelkeep.app.request(ORIGIN + path, { method, headers, body: JSON.stringify(body) });
}

const kept = () => levelkeep.db.selectFrom('audit').selectAll().orderBy('audit_id').execute();

describe('the audit', () => {
  test('knows every route that changes something: by a call here, or as an exception with its reason', async () => {
    const known = [...Object.keys(CHANGE_CALLS), ...Object.keys(NOT_AUDITED)];
    expect((await changingRoutes()).sort()).toEqual(known.sort());
  });

  test.each(Object.keys(CHANGE_CALLS))('%s leaves one row that says who and what', async (route) => {
    const before = await kept();
    const { path, body, signedIn } = CHANGE_CALLS[route]!(given);
    const method = route.split(' ')[0]!;
    const answer = signedIn
      ? await sendAsBoss(method, path, body)
      : await levelkeep.send('administrator', method, path, body);
    expect([answer.status, answer.ok ? '' : await answer.text()]).toEqual([answer.status, '']);
    secrets.push(...secretsIn(await answer.text()));

    const added = (await kept()).slice(before.length);
    expect(added).toHaveLength(1);
    const [row] = added;
    const byLink = route === 'POST /api/links/accept';
    const byWhom = signedIn
      ? { by_whom: 'boss', via: 'session' }
      : { by_whom: 'administrator token', via: 'token' };
    expect(row).toMatchObject(byLink ? { by_whom: 'Ivo Marsh', via: 'link' } : byWhom);
    expect(row!.before ?? row!.after).not.toBeNull();
  });

  test('a person’s own change of name or password leaves a row too', async () => {
    const send = (path: string, body: object) => sendAsBoss('POST', `/api/auth${path}`, body);
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

/** Keys, tokens, the fragments of links and webhooks' secrets in an answer. */
function secretsIn(answer: string): string[] {
  return [...answer.matchAll(/(?:levelkeep_\d+_|lkt_|lkl_|whsec_)[A-Za-z0-9_+/=-]{20,}/g)].map(
    ([secret]) => secret,
  );
}
