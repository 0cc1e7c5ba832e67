import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { refreshSiteRisk } from '../risk/refreshSiteRisk.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { FoundPlanSchema } from '../schemas/foundPlan.ts';
import { PointParams, SiteParams } from '../schemas/params.ts';
import { AgentConfigSchema, ReadingWaySchema } from '../schemas/readingWays.ts';
import { SiteProgressSchema } from '../schemas/siteProgress.ts';
import { NewPointTreeSchema, SiteSetupViewSchema } from '../schemas/siteSetup.ts';
import { addPointTree } from '../setup/addPointTree.ts';
import { agentConfigOf } from '../setup/agentConfig.ts';
import { findPlan } from '../setup/findPlan.ts';
import { listPoints } from '../setup/points.ts';
import { chooseReadingWay, listReadingWays } from '../setup/readingWays.ts';
import { siteProgress } from '../setup/siteProgress.ts';
import { findSite } from '../setup/sites.ts';

const progress = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/progress',
  summary: 'How far the set-up of a site has come: what is missing, and what was heard of each point',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('Steps and points', SiteProgressSchema) },
});

const chooseWay = createRoute({
  method: 'put',
  path: '/api/sites/{siteId}/points/{pointId}/reading-way',
  summary: 'Decide how the readings of a point come',
  middleware: [requireRole('technician')] as const,
  request: { params: PointParams, body: jsonBody(ReadingWaySchema) },
  responses: DONE,
});

const agentConfig = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/agent-config',
  summary: 'The config for the agent on site, ready to be saved as agent.json; it holds no secret',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('The config and what goes with it', AgentConfigSchema) },
});

const foundPlan = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/points/{pointId}/found-plan',
  summary: 'The channel plan that the newest sweeps of a point speak for; nothing is kept',
  middleware: [requireRole('viewer')] as const,
  request: { params: PointParams },
  responses: { 200: jsonAnswer('A proposal to confirm', FoundPlanSchema) },
});

const addTree = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/point-tree',
  summary: 'Add several points at once, each naming the one that feeds it: all of them, or none',
  middleware: [requireRole('technician')] as const,
  request: { params: SiteParams, body: jsonBody(NewPointTreeSchema) },
  responses: { 201: jsonAnswer('The site with its points', SiteSetupViewSchema) },
});

/** Setting a site up step by step. @param origin public address of the server, for the agent's config */
export function siteProgressRoutes({ db, now, origin }: Deps & { readonly origin: string }) {
  return createRouter()
    .openapi(progress, async (c) => c.json(await siteProgress(db, c.req.valid('param').siteId, now()), 200))
    .openapi(chooseWay, async (c) => {
      const { siteId, pointId } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      const find = async (trx: Db) => (await listReadingWays(trx, siteId)).get(pointId) ?? null;
      await audited(
        { db, actor, nowMs },
        (trx) => chooseReadingWay(trx, siteId, pointId, c.req.valid('json'), { name: actor.name, nowMs }),
        {
          action: 'choose',
          subjectKind: 'way of reading point',
          subjectId: pointId,
          siteId,
          before: find,
          after: find,
        },
      );
      return c.body(null, 204);
    })
    .openapi(agentConfig, async (c) => {
      const { siteId } = c.req.valid('param');
      const site = await findSite(db, siteId);
      const points = await listPoints(db, siteId);
      const ways = await listReadingWays(db, siteId);
      return c.json(agentConfigOf({ site, points, ways, origin }), 200);
    })
    .openapi(foundPlan, async (c) => {
      const { siteId, pointId } = c.req.valid('param');
      return c.json(await findPlan(db, siteId, pointId, now()), 200);
    })
    .openapi(addTree, async (c) => {
      const { siteId } = c.req.valid('param');
      const nowMs = now();
      await addPointTree({ db, actor: c.get('actor'), nowMs }, siteId, c.req.valid('json').points);
      await refreshSiteRisk(db, siteId, nowMs);
      return c.json({ site: await findSite(db, siteId), points: await listPoints(db, siteId) }, 201);
    });
}
