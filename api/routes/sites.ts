import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { refreshSiteRisk } from '../risk/refreshSiteRisk.ts';
import { createRouter, jsonAnswer, jsonBody } from '../router.ts';
import { SiteParams } from '../schemas/params.ts';
import {
  ChangeSiteSchema,
  NewSiteSchema,
  SiteListQuery,
  SiteListSchema,
  type SiteSetupView,
  SiteSetupViewSchema,
} from '../schemas/siteSetup.ts';
import { listPoints } from '../setup/points.ts';
import { addSite, changeSite, findSite, listSites } from '../setup/sites.ts';

const list = createRoute({
  method: 'get',
  path: '/api/sites',
  summary: 'Sites by name, for set-up; /api/fleet ranks them',
  middleware: [requireRole('viewer')] as const,
  request: { query: SiteListQuery },
  responses: { 200: jsonAnswer('One slice of the list', SiteListSchema) },
});

const read = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/setup',
  summary: 'A site and its points as set up',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('The site; points from the handoff down', SiteSetupViewSchema) },
});

const add = createRoute({
  method: 'post',
  path: '/api/sites',
  summary: 'Add a site',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(NewSiteSchema) },
  responses: { 201: jsonAnswer('The site', SiteSetupViewSchema) },
});

const change = createRoute({
  method: 'patch',
  path: '/api/sites/{siteId}',
  summary: 'Change a site; another plan has its whole history judged again',
  middleware: [requireRole('manager')] as const,
  request: { params: SiteParams, body: jsonBody(ChangeSiteSchema) },
  responses: { 200: jsonAnswer('The site', SiteSetupViewSchema) },
});

export function siteSetupRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => c.json(await listSites(db, c.req.valid('query')), 200))
    .openapi(read, async (c) => c.json(await siteSetupView(db, c.req.valid('param').siteId), 200))
    .openapi(add, async (c) => {
      const siteId = await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => addSite(trx, c.req.valid('json')),
        { action: 'add', subjectKind: 'site', subjectId: (id) => id, siteId: (id) => id, after: findSite },
      );
      await refreshSiteRisk(db, siteId, now());
      return c.json(await siteSetupView(db, siteId), 201);
    })
    .openapi(change, async (c) => {
      const { siteId } = c.req.valid('param');
      await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => changeSite(trx, siteId, c.req.valid('json')),
        {
          action: 'change',
          subjectKind: 'site',
          subjectId: siteId,
          siteId,
          before: (trx) => findSite(trx, siteId),
          after: (trx) => findSite(trx, siteId),
        },
      );
      await refreshSiteRisk(db, siteId, now());
      return c.json(await siteSetupView(db, siteId), 200);
    });
}

async function siteSetupView(db: Db, siteId: number): Promise<SiteSetupView> {
  return { site: await findSite(db, siteId), points: await listPoints(db, siteId) };
}
