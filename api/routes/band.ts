import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import { bandView } from '../baseline/bandView.ts';
import type { Deps } from '../deps.ts';
import { createRouter, jsonAnswer } from '../router.ts';
import { PointParams } from '../schemas/params.ts';
import { BandQuery, BandViewSchema } from '../schemas/site.ts';

const getBand = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/points/{pointId}/band',
  summary: 'Then and now across frequency at one point',
  middleware: [requireRole('viewer')] as const,
  request: { params: PointParams, query: BandQuery },
  responses: { 200: jsonAnswer('Baseline and sweep, channel by channel', BandViewSchema) },
});

/** A sweep beside the baseline that it is judged against. */
export function bandRoutes({ db, now }: Deps) {
  return createRouter().openapi(getBand, async (c) => {
    const { siteId, pointId } = c.req.valid('param');
    const { at } = c.req.valid('query');

    const view = await bandView(db, siteId, pointId, at === undefined ? now() : Date.parse(at));

    return c.json(view, 200);
  });
}
