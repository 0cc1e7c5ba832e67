import type { OpenAPIHono } from '@hono/zod-openapi';
import type { MiddlewareHandler } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { compress } from 'hono/compress';
import type { IngestLimits } from '../ingest/contract/limits.ts';
import { createIngestApp } from '../ingest/http/ingestApp.ts';
import type { Auth } from './accounts/auth.ts';
import { identify } from './accounts/identify.ts';
import { sameOrigin } from './accounts/sameOrigin.ts';
import { answerError } from './answerError.ts';
import type { ServerRole } from './config.ts';
import type { Deps } from './deps.ts';
import type { AppEnv } from './env.ts';
import { ApiError, NotFound } from './errors.ts';
import { describeApi } from './openApi.ts';
import { requestLog } from './requestLog.ts';
import { createRouter } from './router.ts';
import { accountRoutes } from './routes/accounts.ts';
import { alertRoutes } from './routes/alerts.ts';
import { auditRoutes } from './routes/audit.ts';
import { authRoutes } from './routes/auth.ts';
import { bandRoutes } from './routes/band.ts';
import { baselineRoutes } from './routes/baselines.ts';
import { complaintRoutes } from './routes/complaints.ts';
import { deliveryRoutes } from './routes/deliveries.ts';
import { fleetRoutes } from './routes/fleet.ts';
import { healthRoutes } from './routes/health.ts';
import { historyRoutes } from './routes/history.ts';
import { instrumentRoutes } from './routes/instruments.ts';
import { siteKeyRoutes } from './routes/keys.ts';
import { limitRoutes } from './routes/limits.ts';
import { linkRoutes } from './routes/links.ts';
import { maintenanceRoutes } from './routes/maintenance.ts';
import { myReachRoutes } from './routes/myReach.ts';
import { notifyRoutes } from './routes/notify.ts';
import { notifyTargetRoutes } from './routes/notifyTargets.ts';
import { planRoutes } from './routes/plans.ts';
import { pointSetupRoutes } from './routes/points.ts';
import { probeRoutes } from './routes/probes.ts';
import { providerRoutes } from './routes/providers.ts';
import { reportPageRoutes } from './routes/reportPage.ts';
import { reportRoutes } from './routes/reports.ts';
import { siteRoutes } from './routes/site.ts';
import { siteImportRoutes } from './routes/siteImport.ts';
import { siteProgressRoutes } from './routes/siteProgress.ts';
import { siteSetupRoutes } from './routes/sites.ts';
import { tokenRoutes } from './routes/tokens.ts';
import { typedReadingRoutes } from './routes/typedReadings.ts';
import { visitRoutes } from './routes/visits.ts';
import { securityHeaders } from './securityHeaders.ts';
import { webPages } from './webPages.ts';

/** Room for a channel plan of 500 channels with many services each. */
const MAX_BODY_MIB = 4;

/** Every one of their routes asks for a role. */
const ROUTES = [
  fleetRoutes,
  siteRoutes,
  alertRoutes,
  bandRoutes,
  historyRoutes,
  baselineRoutes,
  siteSetupRoutes,
  pointSetupRoutes,
  siteProgressRoutes,
  siteImportRoutes,
  providerRoutes,
  planRoutes,
  limitRoutes,
  siteKeyRoutes,
  instrumentRoutes,
  maintenanceRoutes,
  probeRoutes,
  accountRoutes,
  tokenRoutes,
  complaintRoutes,
  visitRoutes,
  notifyRoutes,
  notifyTargetRoutes,
  deliveryRoutes,
  myReachRoutes,
  typedReadingRoutes,
  reportRoutes,
  auditRoutes,
];

export interface AppDeps extends Deps {
  /** What ingest takes; the contract's own limits when absent. */
  readonly limits?: IngestLimits;
  readonly auth: Auth;
  /** What the server keeps to itself: it signs cookies and seals the secrets of probes. */
  readonly secret: string;
  /** Public base address, without a slash at its end. */
  readonly origin: string;
  readonly trustProxy: boolean;
  /** Folder of the built web pages; null serves none. */
  readonly webFolder: string | null;
  readonly roles: readonly ServerRole[];
}

/** Everything that answers HTTP, made of what it is given. */
export function createApp(deps: AppDeps): OpenAPIHono<AppEnv> {
  const app = createRouter();
  app.onError(answerError(deps.log));
  app.use(securityHeaders(deps.origin));
  app.use(requestLog(deps.log));
  app.route('/', healthRoutes(deps.db));
  if (deps.roles.includes('ingest')) app.route('/', createIngestApp(deps));
  if (deps.roles.includes('web')) mountWeb(app, deps);
  return app;
}

function mountWeb(app: OpenAPIHono<AppEnv>, deps: AppDeps): void {
  app.use('/api/*', neverStored, compress(), sameOrigin(deps.origin), sizeLimit);
  app.route('/', authRoutes(deps.auth, deps.trustProxy, deps));
  app.route('/', linkRoutes(deps));
  app.use('/api/*', identify(deps));
  for (const routes of ROUTES) app.route('/', routes(deps));
  app.use('/sites/:siteId/report', identify(deps));
  app.route('/', reportPageRoutes(deps));
  app.all('/api/*', (c) => {
    throw new NotFound('route', `${c.req.method} ${c.req.path}`);
  });
  describeApi(app);
  if (deps.webFolder !== null) app.route('/', webPages(deps.webFolder));
}

/** Answers under /api are one person's; no cache keeps them. */
const neverStored: MiddlewareHandler = async (c, next) => {
  await next();
  c.header('Cache-Control', 'no-store');
};

const sizeLimit = bodyLimit({
  maxSize: MAX_BODY_MIB * 1024 * 1024,
  onError: () => {
    throw new ApiError(
      413,
      'body-too-large',
      `the body is larger than ${MAX_BODY_MIB} MiB`,
      'send less at once',
    );
  },
});
