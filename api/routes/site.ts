import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import type { Deps } from '../deps.ts';
import { siteView } from '../risk/siteView.ts';
import { createRouter, jsonAnswer } from '../router.ts';
import { SiteParams } from '../schemas/params.ts';
import { SiteViewSchema } from '../schemas/site.ts';

const getSite = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}',
  summary: 'One site: its rank explained, its points from the handoff down, its findings',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('The site', SiteViewSchema) },
});

/** What the site page shows before a point is opened. */
export function siteRoutes({ db, now }: Deps) {
  return createRouter().openapi(getSite, async (c) => {
    const view = await siteView(db, c.req.valid('param').siteId, now());

    return c.json(view, 200);
  });
}
