import { type Context, Hono } from 'hono';
import { createMiddleware } from 'hono/factory';
import type pg from 'pg';
import type { Logger } from 'pino';
import { type AcceptSweeps, createAcceptSweeps } from '../acceptSweeps.ts';
import { AGENT_REPORT_LIMITS } from '../contract/agentReport.ts';
import { decodeBody } from '../contract/decodeBody.ts';
import { INGEST_LIMITS, type IngestLimits } from '../contract/limits.ts';
import { parseAgentReport } from '../contract/parseAgentReport.ts';
import { BadRequest, parseBody } from '../contract/parseBody.ts';
import { keepAgentReport } from '../store/agentReports.ts';
import type { Db } from '../store/database.ts';
import { isDatabaseAway } from '../store/databaseAway.ts';
import { checkSiteKey } from '../store/siteKeys.ts';
import { readBody } from './readBody.ts';
import { createTokenBuckets } from './tokenBuckets.ts';

export interface IngestDeps {
  readonly db: Db;
  readonly pool: pg.Pool;
  readonly now: () => number;
  readonly log: Logger;
  readonly limits?: IngestLimits;
  readonly rate?: { readonly burst: number; readonly perSecond: number };
  /** Made from `db` and `pool` when it is not given. */
  readonly accept?: AcceptSweeps;
}

/** Whose key the request came with. */
type IngestEnv = { Variables: { siteId: number } };

const RATE = { burst: 200, perSecond: 50 };
const RETRY_WHEN_AWAY_S = 10;

/** `POST /ingest/sweeps`, contract version 1, and `POST /ingest/heartbeat`. */
export function createIngestApp(deps: IngestDeps): Hono<IngestEnv> {
  const { limits = INGEST_LIMITS, accept = createAcceptSweeps(deps) } = deps;
  const buckets = createTokenBuckets(deps.rate ?? RATE);
  const app = new Hono<IngestEnv>();
  app.onError((error, c) => answerError(error, c, deps.log));

  // The key first: who has none is turned away before the body is read.
  const admit = createMiddleware<IngestEnv>(async (c, next) => {
    const key = /^Bearer +(\S+) *$/i.exec(c.req.header('authorization') ?? '')?.[1];
    if (key === undefined)
      return refuse(c, 401, 'there is no site key', 'send Authorization: Bearer and a site key');
    const check = await checkSiteKey(deps.db, key, deps.now());
    if (check === 'unknown')
      return refuse(c, 401, 'the site key is not known here', 'copy it whole, or issue another');
    if (check === 'revoked') return refuse(c, 403, 'the site key was revoked', 'issue another for this site');
    const waitS = buckets.take(check.siteId, deps.now());
    if (waitS > 0) {
      c.header('Retry-After', String(waitS));
      return refuse(
        c,
        429,
        'this site sends too many requests',
        'put more sweeps into one request, and wait',
      );
    }
    c.set('siteId', check.siteId);
    return next();
  });

  app.post('/ingest/sweeps', admit, async (c) => {
    const sent = await readBody(c.req.raw, limits.maxBodyBytes);
    const decoded = await decodeBody(sent, c.req.header('content-encoding'), limits);
    return c.json(await accept(c.get('siteId'), parseBody(decoded, limits), deps.now()));
  });

  app.post('/ingest/heartbeat', admit, async (c) => {
    const sent = await readBody(c.req.raw, AGENT_REPORT_LIMITS.maxBytes);
    const decoded = await decodeBody(sent, c.req.header('content-encoding'), {
      ...limits,
      maxDecodedBytes: AGENT_REPORT_LIMITS.maxBytes,
    });
    await keepAgentReport(deps.db, c.get('siteId'), parseAgentReport(decoded), deps.now());
    return c.body(null, 204);
  });
  return app;
}

function answerError(error: Error, c: Context, log: Logger): Response {
  if (error instanceof BadRequest) return refuse(c, error.status, error.message, error.action);
  if (isDatabaseAway(error)) {
    log.warn({ err: error }, 'ingest: the database is away');
    c.header('Retry-After', String(RETRY_WHEN_AWAY_S));
    return refuse(c, 503, 'the database is away', 'keep the sweeps and send them again later');
  }
  log.error({ err: error }, 'ingest: a request failed');
  return refuse(c, 500, 'the server failed on this request', 'keep the sweeps and send them again later');
}

function refuse(
  c: Context,
  status: 400 | 401 | 403 | 413 | 415 | 429 | 500 | 503,
  message: string,
  action: string,
): Response {
  return c.json({ error: { message, action } }, status);
}
