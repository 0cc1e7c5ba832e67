import { Hono } from 'hono';
import { type Auth, CLIENT_HEADER } from '../accounts/auth.ts';
import { clientAddress } from '../accounts/clientAddress.ts';
import { withAccounts } from '../accounts/tables.ts';
import { recordChange } from '../audit/recordChange.ts';
import type { Deps } from '../deps.ts';

/** What better-auth serves: signing in and out, the session, a change of one's own password. */
const SERVED = [
  '/sign-in/email',
  '/sign-out',
  '/get-session',
  '/change-password',
  '/update-user',
  '/list-sessions',
  '/revoke-other-sessions',
] as const;

/** What people change of their own accounts there, as the audit calls it. */
const CHANGES: Readonly<Record<string, string>> = {
  '/change-password': 'set password',
  '/update-user': 'change',
};

/**
 * Passes requests under /api/auth on, with the client's address told by us and not by the client. Changes are
 * recorded once they are made: better-auth's transaction is its own.
 */
export function authRoutes(auth: Auth, trustProxy: boolean, deps: Pick<Deps, 'db' | 'now'>): Hono {
  const routes = new Hono();
  for (const path of SERVED) {
    routes.on(['GET', 'POST'], `/api/auth${path}`, async (c) => {
      const headers = new Headers(c.req.raw.headers);
      headers.set(CLIENT_HEADER, clientAddress(c, trustProxy) ?? '127.0.0.1');
      const action = c.req.method === 'POST' ? CHANGES[path] : undefined;
      const who = action && (await auth.api.getSession({ headers }));
      const response = await auth.handler(new Request(c.req.raw, { headers }));
      if (action && who && response.ok) await record(deps, who.user, action);
      return inOurWords(response);
    });
  }
  return routes;
}

async function record(
  { db, now }: Pick<Deps, 'db' | 'now'>,
  { id, name, email }: { id: string; name: string; email: string },
  action: string,
): Promise<void> {
  const after = await withAccounts(db)
    .selectFrom('person')
    .select(['name', 'email'])
    .where('id', '=', id)
    .executeTakeFirst();
  const subject = { subjectKind: 'account', subjectId: id, siteId: null, before: { name, email }, after };
  await recordChange(db, { by: name, via: 'session', action, ...subject }, now());
}

const ACTIONS: Record<number, string> = {
  401: 'check the e-mail address and the password',
  403: 'ask an administrator',
  429: 'wait a minute, then try again',
};

/** Refusals in the shape of every other error. */
async function inOurWords(response: Response): Promise<Response> {
  if (response.ok) return response;
  const told = (await response.json().catch(() => ({}))) as { code?: string; message?: string };
  const code = told.code?.toLowerCase().replaceAll('_', '-') ?? `http-${response.status}`;
  const message = told.message ?? `the server answered ${response.status}`;
  const action = ACTIONS[response.status] ?? 'correct what is named, then try again';
  const headers = new Headers(response.headers);
  const retryAfterS = headers.get('x-retry-after');
  if (retryAfterS !== null) headers.set('retry-after', retryAfterS);
  headers.delete('content-length');
  headers.set('content-type', 'application/json');
  return new Response(JSON.stringify({ error: { code, message, action } }), {
    status: response.status,
    headers,
  });
}
