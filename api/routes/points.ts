import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { refreshSiteRisk } from '../risk/refreshSiteRisk.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { PointParams, SiteParams } from '../schemas/params.ts';
import { ChangePointSchema, NewPointSchema, PointAddedSchema } from '../schemas/siteSetup.ts';
import { addPoint, changePoint, findPoint, removePoint } from '../setup/points.ts';

const add = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/points',
  summary: 'Add a point: the handoff first, then what it feeds',
  middleware: [requireRole('technician')] as const,
  request: { params: SiteParams, body: jsonBody(NewPointSchema) },
  responses: { 201: jsonAnswer('The new point', PointAddedSchema) },
});

const change = createRoute({
  method: 'patch',
  path: '/api/sites/{siteId}/points/{pointId}',
  summary: 'Change a point; another kind has its whole history judged again',
  middleware: [requireRole('technician')] as const,
  request: { params: PointParams, body: jsonBody(ChangePointSchema) },
  responses: DONE,
});

const remove = createRoute({
  method: 'delete',
  path: '/api/sites/{siteId}/points/{pointId}',
  summary: 'Remove a point that has no sweeps and feeds no other',
  middleware: [requireRole('manager')] as const,
  request: { params: PointParams },
  responses: DONE,
});

/** The tree of points. Technicians edit it: they stand in front of it. */
export function pointSetupRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(add, async (c) => {
      const { siteId } = c.req.valid('param');
      const pointId = await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => addPoint(trx, siteId, c.req.valid('json')),
        {
          action: 'add',
          subjectKind: 'point',
          subjectId: (id) => id,
          siteId,
          after: (trx, id) => findPoint(trx, siteId, id),
        },
      );
      await refreshSiteRisk(db, siteId, now());
      return c.json({ pointId }, 201);
    })
    .openapi(change, async (c) => {
      const { siteId, pointId } = c.req.valid('param');
      await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => changePoint(trx, siteId, pointId, c.req.valid('json')),
        {
          action: 'change',
          subjectKind: 'point',
          subjectId: pointId,
          siteId,
          before: (trx) => findPoint(trx, siteId, pointId),
          after: (trx) => findPoint(trx, siteId, pointId),
        },
      );
      await refreshSiteRisk(db, siteId, now());
      return c.body(null, 204);
    })
    .openapi(remove, async (c) => {
      const { siteId, pointId } = c.req.valid('param');
      await audited({ db, actor: c.get('actor'), nowMs: now() }, (trx) => removePoint(trx, siteId, pointId), {
        action: 'remove',
        subjectKind: 'point',
        subjectId: pointId,
        siteId,
        before: (trx) => findPoint(trx, siteId, pointId),
      });
      await refreshSiteRisk(db, siteId, now());
      return c.body(null, 204);
    });
}
