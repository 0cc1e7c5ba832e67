import type { OpenAPIHono } from '@hono/zod-openapi';
import { pino } from 'pino';
import type { Role } from '../../../api/accounts/actor.ts';
import { answerError } from '../../../api/answerError.ts';
import type { AppEnv } from '../../../api/env.ts';
import { createRouter } from '../../../api/router.ts';
import { alertRoutes } from '../../../api/routes/alerts.ts';
import { bandRoutes } from '../../../api/routes/band.ts';
import { baselineRoutes } from '../../../api/routes/baselines.ts';
import { fleetRoutes } from '../../../api/routes/fleet.ts';
import { historyRoutes } from '../../../api/routes/history.ts';
import { siteRoutes } from '../../../api/routes/site.ts';
import { OUTSIDE } from '../../support/outside.ts';
import type { TestDatabase } from '../../support/withDatabase.ts';

/** The read side alone, answering a person of the role given, or nobody. */
export function readApp(
  database: TestDatabase,
  nowMs: number,
  role: Role | null = 'viewer',
): OpenAPIHono<AppEnv> {
  const log = pino({ level: 'silent' });
  const deps = {
    db: database.db,
    pool: database.pool,
    now: () => nowMs,
    log,
    enqueue: async () => {},
    ...OUTSIDE,
  };
  const app = createRouter();
  app.onError(answerError(log));
  app.use(async (c, next) => {
    if (role !== null) c.set('actor', { name: 'Ada Field', email: null, role, via: 'session' });
    await next();
  });
  for (const routes of [fleetRoutes, siteRoutes, alertRoutes, bandRoutes, historyRoutes, baselineRoutes]) {
    app.route('/', routes(deps));
  }
  return app;
}

/** The JSON of an answer; fails the test when the status is another. */
export async function json<T>(answer: Response | Promise<Response>, status = 200): Promise<T> {
  const response = await answer;
  const body = await response.text();
  if (response.status !== status) throw new Error(`answered ${response.status}, not ${status}: ${body}`);
  return JSON.parse(body) as T;
}
