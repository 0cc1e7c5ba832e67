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
    routes.on(['GET', 'POST'], `/api/auth${path}`, (c) => {
      const headers = new Headers(c.req.raw.headers);
      headers.set(CLIENT_HEADER, clientAddress(c, trustProxy) ?? '127.0.0.1');
      return auth.handler(new Request(c.req.raw, { headers }));
    });
  }
  return routes;
}
