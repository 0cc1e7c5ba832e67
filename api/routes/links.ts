import { createRoute } from '@hono/zod-openapi';
import { hashPassword } from 'better-auth/crypto';
import { acceptLink, readLink } from '../accounts/oneTimeLinks.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { InvalidInput } from '../errors.ts';
import { createRouter, jsonAnswer, jsonBody } from '../router.ts';
import { AcceptedLinkSchema, AcceptLinkSchema, LinkToken, LinkViewSchema } from '../schemas/accounts.ts';

const read = createRoute({
  method: 'post',
  path: '/api/links/read',
  summary: 'What a one-time link offers; open to whoever holds it',
  request: { body: jsonBody(LinkToken) },
  responses: { 200: jsonAnswer('What it offers', LinkViewSchema) },
});

const accept = createRoute({
  method: 'post',
  path: '/api/links/accept',
  summary: 'Use a one-time link: make the account it offers, or set the new password',
  request: { body: jsonBody(AcceptLinkSchema) },
  responses: { 200: jsonAnswer('The address to sign in with', AcceptedLinkSchema) },
});

/** Following a one-time link. These two routes ask for no account: the link is the proof. */
export function linkRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(read, async (c) => {
      const { purpose, role, email, expires_at } = await readLink(db, c.req.valid('json').token, now());
      return c.json({ purpose, role, email, expiresAt: expires_at.toISOString() }, 200);
    })
    .openapi(accept, async (c) => {
      const { token, name, email, password } = c.req.valid('json');
      const link = await readLink(db, token, now());
      if (link.purpose !== 'password' && name === undefined) {
        throw new InvalidInput({ name: 'is missing: give the name that others will see' });
      }
      if (link.purpose === 'setup' && email === undefined) {
        throw new InvalidInput({ email: 'is missing: give the address to sign in with' });
      }
      const passwordHash = await hashPassword(password);
      const answer = { token, name: name ?? '', email: email ?? null, passwordHash };
      const nowMs = now();
      const signsInAs = await audited(
        { db, actor: { name: name ?? link.email ?? 'holder of a link', via: 'link' }, nowMs },
        (trx) => acceptLink(trx, answer, nowMs),
        {
          action: link.purpose === 'password' ? 'set password' : 'make',
          subjectKind: 'account',
          subjectId: (address) => address,
          after: async (_, address) => ({ email: address, role: link.role, purpose: link.purpose }),
        },
      );
      return c.json({ email: signsInAs }, 200);
    });
}
