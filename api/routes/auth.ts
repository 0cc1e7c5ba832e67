import { Hono } from 'hono';
import { type Auth, CLIENT_HEADER } from '../accounts/auth.ts';
import { clientAddress } from '../accounts/clientAddress.ts';

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

/** Passes requests under /api/auth on, with the client's address told by us and not by the client. */
export function authRoutes(auth: Auth, trustProxy: boolean): Hono {
  const routes = new Hono();
  for (const path of SERVED) {
    routes.on(['GET', 'POST'], `/api/auth${path}`, async (c) => {
      const headers = new Headers(c.req.raw.headers);
      headers.set(CLIENT_HEADER, clientAddress(c, trustProxy) ?? '127.0.0.1');
      return inOurWords(await auth.handler(new Request(c.req.raw, { headers })));
    });
  }
  return routes;
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
