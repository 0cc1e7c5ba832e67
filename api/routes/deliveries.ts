import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { tryOnce } from '../notify/deliver.ts';
import { findDelivery, listDeliveries, reviveDelivery } from '../notify/deliveries.ts';
import { createRouter, jsonAnswer } from '../router.ts';
import { DeliveriesSchema, DeliveryQuery, TriedSchema } from '../schemas/notify.ts';
import { DeliveryParams } from '../schemas/params.ts';

const deliveries = createRoute({
  method: 'get',
  path: '/api/notify/deliveries',
  summary: 'Messages with every attempt to hand them over',
  middleware: [requireRole('manager')] as const,
  request: { query: DeliveryQuery },
  responses: { 200: jsonAnswer('Newest first, 50 at a time', DeliveriesSchema) },
});

const resend = createRoute({
  method: 'post',
  path: '/api/notify/deliveries/{deliveryId}/resend',
  summary: 'Send a message again that was given up, and wait for how it ends',
  middleware: [requireRole('manager')] as const,
  request: { params: DeliveryParams },
  responses: { 200: jsonAnswer('How the attempt ended', TriedSchema) },
});

export function deliveryRoutes(deps: Deps) {
  const { db, now } = deps;
  return createRouter()
    .openapi(deliveries, async (c) => c.json(await listDeliveries(db, c.req.valid('query')), 200))
    .openapi(resend, async (c) => {
      const { deliveryId } = c.req.valid('param');
      const nowMs = now();
      const find = (trx: Db) => findDelivery(trx, deliveryId);
      await audited({ db, actor: c.get('actor'), nowMs }, (trx) => reviveDelivery(trx, deliveryId, nowMs), {
        action: 'send again',
        subjectKind: 'message',
        subjectId: deliveryId,
        before: find,
        after: find,
      });
      return c.json(await tryOnce(deps, deliveryId), 200);
    });
}
