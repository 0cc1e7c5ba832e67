import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { tryOnce } from '../notify/deliver.ts';
import { addTest } from '../notify/deliveries.ts';
import { addTarget, changeTarget, removeTarget, renewSecret } from '../notify/targetChanges.ts';
import { findTargetSetUp } from '../notify/targetSetUp.ts';
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
    .openapi(add, async (c) => {
      const actor = c.get('actor');
      const added = await audited(
        { db, actor, nowMs: now() },
        (trx) => addTarget(trx, c.req.valid('json'), contextOf(actor.name)),
        {
          action: 'add',
          subjectKind: 'notification target',
          subjectId: ({ targetId }) => targetId,
          after: (trx, { targetId }) => findTargetSetUp(trx, targetId),
        },
      );
      return c.json(added, 201);
    })
    .openapi(change, async (c) => {
      const { targetId } = c.req.valid('param');
      const actor = c.get('actor');
      await audited(
        { db, actor, nowMs: now() },
        (trx) => changeTarget(trx, targetId, c.req.valid('json'), contextOf(actor.name)),
        { action: 'change', ...beforeAndAfter(targetId) },
      );
      return c.body(null, 204);
    })
    .openapi(remove, async (c) => {
      const { targetId } = c.req.valid('param');
      await audited({ db, actor: c.get('actor'), nowMs: now() }, (trx) => removeTarget(trx, targetId), {
        action: 'remove',
        subjectKind: 'notification target',
        subjectId: targetId,
        before: (trx) => findTargetSetUp(trx, targetId),
      });
      return c.body(null, 204);
    })
    .openapi(renew, async (c) => {
      const { targetId } = c.req.valid('param');
      const made = await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => renewSecret(trx, targetId, secret),
        { action: 'renew secret', ...beforeAndAfter(targetId) },
      );
      return c.json({ secret: made }, 201);
    })
    .openapi(test, async (c) => {
      const { targetId } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      const deliveryId = await audited(
        { db, actor, nowMs },
        async (trx) => addTest(trx, await findTarget(trx, targetId), actor.name, origin, nowMs),
        { action: 'test', ...beforeAndAfter(targetId) },
      );
      return c.json(await tryOnce(deps, deliveryId), 200);
    });
}

/** A target that is there before and after; `test` and `renew secret` leave the two alike. */
function beforeAndAfter(targetId: number) {
  const find = (trx: Db) => findTargetSetUp(trx, targetId);
  return { subjectKind: 'notification target', subjectId: targetId, before: find, after: find };
}
