import type { MiddlewareHandler } from 'hono';
import type { Db } from '../../ingest/store/database.ts';
import type { AppEnv } from '../env.ts';
import { ApiError } from '../errors.ts';
import type { Actor, Role } from './actor.ts';
import type { Auth } from './auth.ts';
import { actorOfToken } from './automationTokens.ts';

interface IdentifyDeps {
  readonly db: Db;
  readonly auth: Auth;
  readonly now: () => number;
}

/** Finds out who asks, from an automation token or a session. Nobody is no error here: routes say whom they need. */
export function identify({ db, auth, now }: IdentifyDeps): MiddlewareHandler<AppEnv> {
  return async function identifyActor(c, next) {
    const bearer = bearerOf(c.req.header('authorization'));
    const actor =
      bearer === null ? await actorOfSession(auth, c.req.raw.headers) : await actorOfToken(db, bearer, now());
    if (bearer !== null && actor === null) {
      throw new ApiError(
        401,
        'token-invalid',
        'the automation token is unknown, revoked or expired',
        'send "Authorization: Bearer <token>" with a token from Set-up, Accounts',
      );
    }
    if (actor) c.set('actor', actor);
    await next();
  };
}

/** The token in an `Authorization: Bearer` header; null when there is none. */
export function bearerOf(header: string | undefined): string | null {
  return /^Bearer +(\S+)$/i.exec(header ?? '')?.[1] ?? null;
}

async function actorOfSession(auth: Auth, headers: Headers): Promise<Actor | null> {
  if (!headers.has('cookie')) return null;
  const found = await auth.api.getSession({ headers });
  if (!found || found.user.disabled) return null;
  const { name, email, role } = found.user;
  return { name, email, role: role as Role, via: 'session' };
}
