import type { MiddlewareHandler } from 'hono';
import type { Logger } from 'pino';

/** One line a request, at level info. Paths hold no secrets: one-time links carry theirs in the body. */
export function requestLog(log: Logger): MiddlewareHandler {
  return async function logRequest(c, next) {
    const startedMs = performance.now();
    await next();
    const tookMs = Math.round(performance.now() - startedMs);
    log.info({ method: c.req.method, path: c.req.path, status: c.res.status, tookMs }, 'request');
  };
}
