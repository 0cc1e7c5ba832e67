import { createRoute } from '@hono/zod-openapi';
import { planFromRaster } from '../../ingest/plan/planFromRaster.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { InvalidInput } from '../errors.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { PlanParams, PlanVersionParams } from '../schemas/params.ts';
import {
  NewPlanSchema,
  NewPlanVersionSchema,
  PlanProposalQuery,
  PlanProposalSchema,
  PlansSchema,
  PlanViewSchema,
  RenamePlanSchema,
  ServiceHitsSchema,
  ServiceQuery,
} from '../schemas/plans.ts';
import { addPlan, addVersion, listPlans, planView, renamePlan, withdrawVersion } from '../setup/plans.ts';
import { searchServices } from '../setup/services.ts';

const list = createRoute({
  method: 'get',
  path: '/api/plans',
  summary: 'Channel plans with their versions',
  middleware: [requireRole('viewer')] as const,
  responses: { 200: jsonAnswer('Every plan by name', PlansSchema) },
});

const read = createRoute({
  method: 'get',
  path: '/api/plans/{planId}',
  summary: 'One channel plan with the channels of every version',
  middleware: [requireRole('viewer')] as const,
  request: { params: PlanParams },
  responses: { 200: jsonAnswer('The plan', PlanViewSchema) },
});

const propose = createRoute({
  method: 'get',
  path: '/api/plan-proposals',
  summary: 'The channels of a raster, to make a plan of; nothing is kept',
  middleware: [requireRole('viewer')] as const,
  request: { query: PlanProposalQuery },
  responses: { 200: jsonAnswer('Channels in rising frequency', PlanProposalSchema) },
});

const add = createRoute({
  method: 'post',
  path: '/api/plans',
  summary: 'Add a channel plan with its first version',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(NewPlanSchema) },
  responses: { 201: jsonAnswer('The plan', PlanViewSchema) },
});

const rename = createRoute({
  method: 'patch',
  path: '/api/plans/{planId}',
  summary: 'Rename a channel plan',
  middleware: [requireRole('manager')] as const,
  request: { params: PlanParams, body: jsonBody(RenamePlanSchema) },
  responses: { 200: jsonAnswer('The plan', PlanViewSchema) },
});

const version = createRoute({
  method: 'post',
  path: '/api/plans/{planId}/versions',
  summary: 'Add a version that takes over from its effective date, in the future or the past',
  middleware: [requireRole('manager')] as const,
  request: { params: PlanParams, body: jsonBody(NewPlanVersionSchema) },
  responses: { 201: jsonAnswer('The plan', PlanViewSchema) },
});

const withdraw = createRoute({
  method: 'delete',
  path: '/api/plans/{planId}/versions/{version}',
  summary: 'Take back a version that is still to come',
  middleware: [requireRole('manager')] as const,
  request: { params: PlanVersionParams },
  responses: DONE,
});

const services = createRoute({
  method: 'get',
  path: '/api/services',
  summary: 'Find where a programme is carried, by viewer’s number, name or RF channel',
  middleware: [requireRole('viewer')] as const,
  request: { query: ServiceQuery },
  responses: { 200: jsonAnswer('Channels of the versions now in force', ServiceHitsSchema) },
});

export function planRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => c.json({ plans: await listPlans(db, now()) }, 200))
    .openapi(read, async (c) => c.json(await planView(db, c.req.valid('param').planId, now()), 200))
    .openapi(propose, (c) => {
      const { raster, modulation, lowMhz, highMhz } = c.req.valid('query');
      if (lowMhz >= highMhz) throw new InvalidInput({ lowMhz: 'must lie below highMhz' });
      const channels = planFromRaster(raster, { fromMhz: lowMhz, toMhz: highMhz }, { modulation });
      return c.json(
        { channels: channels.map((channel) => ({ ...channel, services: [...channel.services] })) },
        200,
      );
    })
    .openapi(add, async (c) => {
      const actor = c.get('actor');
      const planId = await audited(
        { db, actor, nowMs: now() },
        (trx) => addPlan(trx, c.req.valid('json'), actor.name),
        {
          action: 'add',
          subjectKind: 'channel plan',
          subjectId: (id) => id,
          after: async () => c.req.valid('json'),
        },
      );
      return c.json(await planView(db, planId, now()), 201);
    })
    .openapi(rename, async (c) => {
      const { planId } = c.req.valid('param');
      const nowMs = now();
      const { name } = c.req.valid('json');
      await audited({ db, actor: c.get('actor'), nowMs }, (trx) => renamePlan(trx, planId, name), {
        action: 'rename',
        subjectKind: 'channel plan',
        subjectId: planId,
        before: async (trx) => ({ name: (await planView(trx, planId, nowMs)).name }),
        after: async () => ({ name }),
      });
      return c.json(await planView(db, planId, nowMs), 200);
    })
    .openapi(version, async (c) => {
      const { planId } = c.req.valid('param');
      const actor = c.get('actor');
      await audited(
        { db, actor, nowMs: now() },
        (trx) => addVersion(trx, planId, c.req.valid('json'), actor.name),
        {
          action: 'add version',
          subjectKind: 'channel plan',
          subjectId: planId,
          after: async (_, added) => ({ version: added, ...c.req.valid('json') }),
        },
      );
      return c.json(await planView(db, planId, now()), 201);
    })
    .openapi(withdraw, async (c) => {
      const { planId, version } = c.req.valid('param');
      const nowMs = now();
      await audited(
        { db, actor: c.get('actor'), nowMs },
        (trx) => withdrawVersion(trx, planId, version, nowMs),
        {
          action: 'withdraw version',
          subjectKind: 'channel plan',
          subjectId: planId,
          before: async (trx) => {
            const { versions } = await planView(trx, planId, nowMs);
            return versions.find((kept) => kept.version === version);
          },
        },
      );
      return c.body(null, 204);
    })
    .openapi(services, async (c) => {
      const { search } = c.req.valid('query');
      return c.json({ hits: await searchServices(db, search, now()) }, 200);
    });
}
