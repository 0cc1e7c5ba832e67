import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import type { Actor } from '../accounts/actor.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { ApiError } from '../errors.ts';
import { reachOf } from '../notify/reach.ts';
import { loadRules } from '../notify/rules.ts';
import { saveOwnReach } from '../notify/targetChanges.ts';
import { findTargetSetUp } from '../notify/targetSetUp.ts';
import { loadTargets, type Target } from '../notify/targets.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { MyReachSchema, ReachSchema } from '../schemas/notify.ts';

const read = createRoute({
  method: 'get',
  path: '/api/me/notifications',
  summary: 'When the person who asks wants to be told',
  middleware: [requireRole('viewer')] as const,
  responses: { 200: jsonAnswer('Quiet hours, working days, digests', MyReachSchema) },
});

const save = createRoute({
  method: 'put',
  path: '/api/me/notifications',
  summary: 'Change when the person who asks wants to be told',
  middleware: [requireRole('viewer')] as const,
  request: { body: jsonBody(ReachSchema) },
  responses: DONE,
});

export function myReachRoutes({ db, now, notify }: Deps) {
  return createRouter()
    .openapi(read, async (c) => {
      const address = addressOf(c.get('actor'));
      const own = await ownTarget(db, address);
      const rules = (await loadRules(db)).filter(
        ({ enabled, steps }) =>
          enabled &&
          steps.some(({ targetIds }) => own !== undefined && targetIds.includes(own.row.target_id)),
      );
      return c.json(
        {
          address,
          reach: own ? reachOf(own.row) : null,
          rules: rules.map(({ name }) => name),
          mailSetUp: notify.mail !== null,
        },
        200,
      );
    })
    .openapi(save, async (c) => {
      const actor = c.get('actor');
      const address = addressOf(actor);
      await audited(
        { db, actor, nowMs: now() },
        (trx) => saveOwnReach(trx, address, actor.name, c.req.valid('json')),
        {
          action: 'change',
          subjectKind: 'notification target',
          subjectId: (id) => id,
          before: async (trx) => {
            const own = await ownTarget(trx, address);
            return own ? findTargetSetUp(trx, own.row.target_id) : null;
          },
          after: findTargetSetUp,
        },
      );
      return c.body(null, 204);
    });
}

async function ownTarget(db: Db, address: string): Promise<Target | undefined> {
  const targets = await loadTargets(db);
  return targets.find((target) => target.row.kind === 'person' && target.address === address);
}

/** A token is nobody who could be told. */
function addressOf({ email, via }: Actor): string {
  if (via === 'session' && email !== null) return email;
  throw new ApiError(409, 'no-person', 'an automation token has no hours of its own', 'sign in as a person');
}
