import { getConnInfo } from '@hono/node-server/conninfo';
import type { Context } from 'hono';

/**
 * Where a request comes from. Behind a trusted proxy that is the last address in X-Forwarded-For, the one the
 * proxy itself wrote; otherwise the socket's. Null without a socket.
 */
export function clientAddress(c: Context, trustProxy: boolean): string | null {
  if (trustProxy) {
    const forwarded = c.req.header('x-forwarded-for')?.split(',').at(-1)?.trim();
    if (forwarded) return forwarded;
  }
  return c.env?.incoming ? (getConnInfo(c).remote.address ?? null) : null;
}
