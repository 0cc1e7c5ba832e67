import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import { historyView } from '../baseline/historyView.ts';
import type { Deps } from '../deps.ts';
import { createRouter, jsonAnswer } from '../router.ts';
import { PointParams } from '../schemas/params.ts';
import { HistoryQuery, HistoryViewSchema } from '../schemas/site.ts';

const getHistory = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/points/{pointId}/history',
  summary: 'Level, tilt, flatness and MER margin over time at one point',
  middleware: [requireRole('viewer')] as const,
  request: { params: PointParams, query: HistoryQuery },
  responses: { 200: jsonAnswer('Columns over time, with what marks them', HistoryViewSchema) },
});

/** A point over time: hour by hour, or sweep by sweep for a few days. */
export function historyRoutes({ db, now }: Deps) {
  return createRouter().openapi(getHistory, async (c) => {
    const { siteId, pointId } = c.req.valid('param');
    const { from, to } = c.req.valid('query');

    const view = await historyView(db, siteId, pointId, {
      fromMs: from === undefined ? null : Date.parse(from),
      toMs: to === undefined ? null : Date.parse(to),
      nowMs: now(),
    });

    return c.json(view, 200);
  });
}
