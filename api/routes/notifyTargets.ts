import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import type { Deps } from '../deps.ts';
import { tryOnce } from '../notify/deliver.ts';
import { addTest } from '../notify/deliveries.ts';
import { addTarget, changeTarget, removeTarget, renewSecret } from '../notify/targetChanges.ts';
import { findTarget } from '../notify/targets.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import {
  AddedTargetSchema,
  ChangeTargetSchema,
  NewTargetSchema,
  SecretSchema,
  TriedSchema,
} from '../schemas/notify.ts';
import { NotifyTargetParams } from '../schemas/params.ts';

const add = createRoute({
  method: 'post',
  path: '/api/notify/targets',
  summary: 'Add a person, a mailbox or a webhook that can be told',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(NewTargetSchema) },
  responses: { 201: jsonAnswer('The target, with a webhook’s secret this once', AddedTargetSchema) },
});

const change = createRoute({
  method: 'put',
  path: '/api/notify/targets/{targetId}',
  summary: 'Change a target',
  middleware: [requireRole('manager')] as const,
  request: { params: NotifyTargetParams, body: jsonBody(ChangeTargetSchema) },
  responses: DONE,
});

const remove = createRoute({
  method: 'delete',
  path: '/api/notify/targets/{targetId}',
  summary: 'Remove a target that no rule names',
  middleware: [requireRole('manager')] as const,
  request: { params: NotifyTargetParams },
  responses: DONE,
});

const renew = createRoute({
  method: 'post',
  path: '/api/notify/targets/{targetId}/secret',
  summary: 'Make a webhook’s signing secret anew; it is shown this once',
  middleware: [requireRole('manager')] as const,
  request: { params: NotifyTargetParams },
  responses: { 201: jsonAnswer('The secret', SecretSchema) },
});

const test = createRoute({
  method: 'post',
  path: '/api/notify/targets/{targetId}/test',
  summary: 'Send a test message now and wait for how it ends',
  middleware: [requireRole('manager')] as const,
  request: { params: NotifyTargetParams },
  responses: { 200: jsonAnswer('How the attempt ended', TriedSchema) },
});

export function notifyTargetRoutes(deps: Deps) {
  const { db, now, origin, secret, notify } = deps;
  const contextOf = (by: string) => ({ by, secret, allowPrivate: notify.allowPrivateWebhooks });
  return createRouter()
    .openapi(add, async (c) =>
      c.json(await addTarget(db, c.req.valid('json'), contextOf(c.get('actor').name)), 201),
    )
    .openapi(change, async (c) => {
      const { targetId } = c.req.valid('param');
      await changeTarget(db, targetId, c.req.valid('json'), contextOf(c.get('actor').name));
      return c.body(null, 204);
    })
    .openapi(remove, async (c) => {
      await removeTarget(db, c.req.valid('param').targetId);
      return c.body(null, 204);
    })
    .openapi(renew, async (c) =>
      c.json({ secret: await renewSecret(db, c.req.valid('param').targetId, secret) }, 201),
    )
    .openapi(test, async (c) => {
      const target = await findTarget(db, c.req.valid('param').targetId);
      return c.json(await tryOnce(deps, await addTest(db, target, c.get('actor').name, origin, now())), 200);
    });
}
