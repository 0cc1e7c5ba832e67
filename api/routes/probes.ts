import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import type { AppDeps } from '../app.ts';
import { audited } from '../audit/audited.ts';
import { askForReading } from '../probes/askForReading.ts';
import { probeFleet } from '../probes/probeFleet.ts';
import { findProbeSetUp } from '../probes/probeSetUp.ts';
import { addProbe, changeProbe, removeProbe } from '../probes/setUpProbes.ts';
import { findProbe, listProbes, listRuns } from '../probes/siteProbes.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { ProbeParams, SiteParams } from '../schemas/params.ts';
import {
  ChangeProbeSchema,
  NewProbeSchema,
  ProbeAddedSchema,
  ProbeFleetQuery,
  ProbeFleetSchema,
  ProbeRunsQuery,
  ProbeRunsSchema,
  ReadingAskedSchema,
  SiteProbesSchema,
} from '../schemas/probes.ts';
import { findSite } from '../setup/sites.ts';

const fleet = createRoute({
  method: 'get',
  path: '/api/probes',
  summary: 'Probes of all sites, worst first',
  middleware: [requireRole('viewer')] as const,
  request: { query: ProbeFleetQuery },
  responses: { 200: jsonAnswer('One slice of the ranked list', ProbeFleetSchema) },
});

const list = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/probes',
  summary: 'Instruments of a site that the server reads itself; never their secrets',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('By name', SiteProbesSchema) },
});

const add = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/probes',
  summary: 'Add a probe; it is read at once unless it begins paused',
  middleware: [requireRole('manager')] as const,
  request: { params: SiteParams, body: jsonBody(NewProbeSchema) },
  responses: { 201: jsonAnswer('The new probe', ProbeAddedSchema) },
});

const change = createRoute({
  method: 'patch',
  path: '/api/sites/{siteId}/probes/{probeId}',
  summary: 'Change, pause or resume a probe; another address needs its secrets again',
  middleware: [requireRole('manager')] as const,
  request: { params: ProbeParams, body: jsonBody(ChangeProbeSchema) },
  responses: DONE,
});

const remove = createRoute({
  method: 'delete',
  path: '/api/sites/{siteId}/probes/{probeId}',
  summary: 'Remove a probe and the record of its runs; its sweeps stay',
  middleware: [requireRole('manager')] as const,
  request: { params: ProbeParams },
  responses: DONE,
});

const runs = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/probes/{probeId}/runs',
  summary: 'What came of each time that a probe was read, newest first, for 30 days',
  middleware: [requireRole('viewer')] as const,
  request: { params: ProbeParams, query: ProbeRunsQuery },
  responses: { 200: jsonAnswer('The probe and its runs', ProbeRunsSchema) },
});

const read = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/probes/{probeId}/readings',
  summary: 'Have a probe read now; the run that ends after `askedAt` is the answer',
  middleware: [requireRole('technician')] as const,
  request: { params: ProbeParams },
  responses: { 202: jsonAnswer('It is in the queue', ReadingAskedSchema) },
});

/**
 * What the server reads by itself. Only managers say where to, since it reads from inside the network; technicians may have read what
 * is set up.
 */
export function probeRoutes({ db, now, secret }: AppDeps) {
  return createRouter()
    .openapi(fleet, async (c) => c.json(await probeFleet(db, c.req.valid('query'), now()), 200))
    .openapi(list, async (c) => {
      const { siteId } = await findSite(db, c.req.valid('param').siteId);
      return c.json({ probes: await listProbes(db, siteId, now()) }, 200);
    })
    .openapi(add, async (c) => {
      const { siteId } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      const probeId = await audited(
        { db, actor, nowMs },
        (trx) => addProbe(trx, siteId, c.req.valid('json'), { secret, by: actor.name, nowMs }),
        {
          action: 'add',
          subjectKind: 'probe',
          subjectId: (id) => id,
          siteId,
          after: (trx, id) => findProbeSetUp(trx, siteId, id),
        },
      );
      return c.json({ probeId, askedAt: new Date(nowMs).toISOString() }, 201);
    })
    .openapi(change, async (c) => {
      const { siteId, probeId } = c.req.valid('param');
      const change = c.req.valid('json');
      const nowMs = now();
      const find = (trx: Db) => findProbeSetUp(trx, siteId, probeId);
      await audited(
        { db, actor: c.get('actor'), nowMs },
        (trx) => changeProbe(trx, siteId, probeId, change, { secret, nowMs }),
        {
          action: 'change',
          subjectKind: 'probe',
          subjectId: probeId,
          siteId,
          before: find,
          after: async (trx) => ({
            ...(await find(trx)),
            ...(change.secrets !== undefined && { secretsReplaced: true }),
          }),
        },
      );
      return c.body(null, 204);
    })
    .openapi(remove, async (c) => {
      const { siteId, probeId } = c.req.valid('param');
      await audited({ db, actor: c.get('actor'), nowMs: now() }, (trx) => removeProbe(trx, siteId, probeId), {
        action: 'remove',
        subjectKind: 'probe',
        subjectId: probeId,
        siteId,
        before: (trx) => findProbeSetUp(trx, siteId, probeId),
      });
      return c.body(null, 204);
    })
    .openapi(runs, async (c) => {
      const { siteId, probeId } = c.req.valid('param');
      const { name, timeZone } = await findSite(db, siteId);
      const probe = await findProbe(db, siteId, probeId, now());
      const runs = await listRuns(db, siteId, probeId, c.req.valid('query'));
      return c.json({ site: { name, timeZone }, probe, runs }, 200);
    })
    .openapi(read, async (c) => {
      const { siteId, probeId } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      await audited(
        { db, actor, nowMs },
        (trx) => askForReading(trx, siteId, probeId, { by: actor.name, nowMs }),
        {
          action: 'ask for reading',
          subjectKind: 'probe',
          subjectId: probeId,
          siteId,
          after: async (trx) => ({ name: (await findProbeSetUp(trx, siteId, probeId)).name }),
        },
      );
      return c.json({ askedAt: new Date(nowMs).toISOString() }, 202);
    });
}
