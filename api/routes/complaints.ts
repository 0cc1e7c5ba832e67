import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import { complaintFigures } from '../complaints/complaintFigures.ts';
import { findComplaint } from '../complaints/findComplaint.ts';
import { listComplaints } from '../complaints/listComplaints.ts';
import { logComplaint, withdrawComplaint } from '../complaints/logComplaint.ts';
import { channelsSaid, sitePlanAt } from '../complaints/siteServices.ts';
import type { Deps } from '../deps.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import {
  ComplaintFiguresQuery,
  ComplaintFiguresSchema,
  ComplaintsQuery,
  ComplaintsSchema,
  LoggedComplaintSchema,
  NewComplaintSchema,
  SiteServicesQuery,
  SiteServicesSchema,
} from '../schemas/complaints.ts';
import { ComplaintParams, SiteParams } from '../schemas/params.ts';

const list = createRoute({
  method: 'get',
  path: '/api/complaints',
  summary: 'What people said, newest first, each with what was known before',
  middleware: [requireRole('viewer')] as const,
  request: { query: ComplaintsQuery },
  responses: { 200: jsonAnswer('Complaints', ComplaintsSchema) },
});

const figures = createRoute({
  method: 'get',
  path: '/api/complaint-figures',
  summary: 'Share of complaints warned of before, lead times, alerts with nothing behind them, by month',
  middleware: [requireRole('viewer')] as const,
  request: { query: ComplaintFiguresQuery },
  responses: { 200: jsonAnswer('The figures', ComplaintFiguresSchema) },
});

const services = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/services',
  summary: 'RF channels that a viewer’s channel may stand for at this site',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams, query: SiteServicesQuery },
  responses: { 200: jsonAnswer('Channels of the plan in force', SiteServicesSchema) },
});

const log = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/complaints',
  summary: 'Log what somebody in the building said',
  middleware: [requireRole('technician')] as const,
  request: { params: SiteParams, body: jsonBody(NewComplaintSchema) },
  responses: { 201: jsonAnswer('Its number', LoggedComplaintSchema) },
});

const withdraw = createRoute({
  method: 'delete',
  path: '/api/sites/{siteId}/complaints/{complaintId}',
  summary: 'Take back a complaint logged by mistake',
  middleware: [requireRole('technician')] as const,
  request: { params: ComplaintParams },
  responses: DONE,
});

export function complaintRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => c.json(await listComplaints(db, c.req.valid('query')), 200))
    .openapi(figures, async (c) =>
      c.json(await complaintFigures(db, c.req.valid('query').months, now()), 200),
    )
    .openapi(services, async (c) => {
      const { search, at } = c.req.valid('query');
      const plan = await sitePlanAt(db, c.req.valid('param').siteId, at ? Date.parse(at) : now());
      const channels = channelsSaid(plan, search).map(({ channel, centreMhz, services: carried }) => ({
        channel,
        centreMhz,
        services: [...carried],
      }));
      return c.json({ channels }, 200);
    })
    .openapi(log, async (c) => {
      const { siteId } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      const complaintId = await audited(
        { db, actor, nowMs },
        (trx) => logComplaint(trx, siteId, c.req.valid('json'), actor.name, nowMs),
        {
          action: 'log',
          subjectKind: 'complaint',
          subjectId: (id) => id,
          siteId,
          after: (trx, id) => findComplaint(trx, siteId, id),
        },
      );
      return c.json({ complaintId }, 201);
    })
    .openapi(withdraw, async (c) => {
      const { siteId, complaintId } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      const find = (trx: Db) => findComplaint(trx, siteId, complaintId);
      await audited(
        { db, actor, nowMs },
        (trx) => withdrawComplaint(trx, siteId, complaintId, actor.name, nowMs),
        {
          action: 'withdraw',
          subjectKind: 'complaint',
          subjectId: complaintId,
          siteId,
          before: find,
          after: find,
        },
      );
      return c.body(null, 204);
    });
}
