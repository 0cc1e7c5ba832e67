import type { MiddlewareHandler } from 'hono';
import type { AppEnv } from '../env.ts';
import { ApiError } from '../errors.ts';
import { mayActAs, type Role } from './actor.ts';

/**
 * Lets a request pass when its actor holds `role` or a higher one.
 * Answers 401 when nobody is signed in and 403 when the role doesn't reach.
 */
export function requireRole(role: Role): MiddlewareHandler<AppEnv> {
  return async function requireRoleOf(c, next) {
    const actor = c.get('actor');
    if (actor === undefined) {
      throw new ApiError(401, 'not-signed-in', 'nobody is signed in', 'sign in, or send an automation token');
    }
    if (!mayActAs(actor.role, role)) {
      throw new ApiError(
        403,
        'role-too-low',
        `this needs the role ${role}; ${actor.name} is ${actor.role}`,
        'ask an administrator for the role',
      );
    }
    await next();
  };
}
