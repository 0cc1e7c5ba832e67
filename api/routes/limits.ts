import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { limitSetFor } from '../limits/limitSetFor.ts';
import { LIMIT_SETS } from '../limits/limitSets.ts';
import { loadFleetLimitChoices, loadLimitChoices } from '../limits/loadLimitChoices.ts';
import { refreshSiteRisk } from '../risk/refreshSiteRisk.ts';
import { createRouter, jsonAnswer, jsonBody } from '../router.ts';
import {
  FleetLimitChoiceSchema,
  type FleetLimits,
  FleetLimitsSchema,
  SiteLimitChoiceSchema,
  type SiteLimits,
  SiteLimitsSchema,
} from '../schemas/limits.ts';
import { SiteParams } from '../schemas/params.ts';
import { chooseForFleet, chooseForSite, chosenFor, newestFirst, type SiteScope } from '../setup/limits.ts';
import { choiceView, limitSetView, whyThisSet } from '../setup/limitViews.ts';
import { listPoints } from '../setup/points.ts';
import { findSite } from '../setup/sites.ts';

const readFleet = createRoute({
  method: 'get',
  path: '/api/limits',
  summary: 'Limit sets with their sources, and what was chosen for the fleet',
  middleware: [requireRole('viewer')] as const,
  responses: { 200: jsonAnswer('Sets and choices', FleetLimitsSchema) },
});

const chooseFleet = createRoute({
  method: 'post',
  path: '/api/limits/choices',
  summary: 'Choose a set for a kind of point in the whole fleet, with the reason',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(FleetLimitChoiceSchema) },
  responses: { 201: jsonAnswer('Sets and choices', FleetLimitsSchema) },
});

const readSite = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/limits',
  summary: 'The set in force for each point of a site, and why',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('Points and choices', SiteLimitsSchema) },
});

const chooseSite = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/limits/choices',
  summary: 'Choose a set for a kind of point at a site or for one point, with the reason',
  middleware: [requireRole('manager')] as const,
  request: { params: SiteParams, body: jsonBody(SiteLimitChoiceSchema) },
  responses: { 201: jsonAnswer('Points and choices', SiteLimitsSchema) },
});

export function limitRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(readFleet, async (c) => c.json(await fleetLimits(db), 200))
    .openapi(chooseFleet, async (c) => {
      const { kind, ...choice } = c.req.valid('json');
      const actor = c.get('actor');
      await audited({ db, actor, nowMs: now() }, (trx) => chooseForFleet(trx, kind, choice, actor.name), {
        action: 'choose',
        subjectKind: 'fleet limits',
        subjectId: kind,
        before: async (trx) => chosenFor(await loadFleetLimitChoices(trx), { kind, pointId: null }),
        after: async () => choice,
      });
      return c.json(await fleetLimits(db), 201);
    })
    .openapi(readSite, async (c) => c.json(await siteLimits(db, c.req.valid('param').siteId), 200))
    .openapi(chooseSite, async (c) => {
      const { siteId } = c.req.valid('param');
      const { kind, pointId, ...choice } = c.req.valid('json');
      const actor = c.get('actor');
      const scope = { kind, pointId } as SiteScope;
      await audited(
        { db, actor, nowMs: now() },
        (trx) => chooseForSite(trx, siteId, scope, choice, actor.name),
        {
          action: 'choose',
          subjectKind: pointId === null ? 'site limits' : 'point limits',
          subjectId: pointId ?? kind ?? '',
          siteId,
          before: async (trx) => chosenFor((await loadLimitChoices(trx, siteId)).site, scope),
          after: async () => choice,
        },
      );
      await refreshSiteRisk(db, siteId, now());
      return c.json(await siteLimits(db, siteId), 201);
    });
}

async function fleetLimits(db: Db): Promise<FleetLimits> {
  const choices = await loadFleetLimitChoices(db);
  return { sets: LIMIT_SETS.map(limitSetView), choices: newestFirst(choices).map(choiceView) };
}

async function siteLimits(db: Db, siteId: number): Promise<SiteLimits> {
  await findSite(db, siteId);
  const choices = await loadLimitChoices(db, siteId);
  const points = (await listPoints(db, siteId)).map(({ pointId, label, name, kind }) => {
    const set = limitSetFor({ pointId, kind }, choices);
    const inForce = { set: limitSetView(set), scope: set.scope, why: whyThisSet(set, kind) };
    return { pointId, title: label || name, kind, ...inForce };
  });
  return { points, choices: newestFirst(choices.site).map(choiceView) };
}
