import type { MiddlewareHandler } from 'hono';
import { ApiError } from '../errors.ts';
import { bearerOf } from './identify.ts';

const READING = new Set(['GET', 'HEAD', 'OPTIONS']);

/**
 * Refuses changes that another site's page asks a signed-in browser for. Browsers say where a request comes from
 * in `Sec-Fetch-Site`, older ones in `Origin`; a request with a cookie and neither is refused. Tokens aren't sent
 * by browsers of themselves, so requests with one pass.
 */
export function sameOrigin(origin: string): MiddlewareHandler {
  return async function checkOrigin(c, next) {
    if (!READING.has(c.req.method) && bearerOf(c.req.header('authorization')) === null) {
      const own = [origin, new URL(c.req.url).origin];
      if (!comesFrom(own, c.req.raw.headers)) throw foreignOrigin(origin);
    }
    await next();
  };
}

function comesFrom(own: readonly string[], headers: Headers): boolean {
  const site = headers.get('sec-fetch-site');
  if (site !== null) return site === 'same-origin' || site === 'none';
  const origin = headers.get('origin');
  if (origin !== null) return own.includes(origin);
  return !headers.has('cookie');
}

function foreignOrigin(origin: string): ApiError {
  return new ApiError(
    403,
    'foreign-origin',
    'a page of another origin asked for this change',
    `work from ${origin}; scripts use an automation token instead of a cookie`,
  );
}
