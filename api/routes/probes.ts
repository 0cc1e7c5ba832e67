import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import type { AppDeps } from '../app.ts';
import { askForReading } from '../probes/askForReading.ts';
import { probeFleet } from '../probes/probeFleet.ts';
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
      const by = c.get('actor').name;
      const nowMs = now();
      const probeId = await addProbe(db, siteId, c.req.valid('json'), { secret, by, nowMs });
      return c.json({ probeId, askedAt: new Date(nowMs).toISOString() }, 201);
    })
    .openapi(change, async (c) => {
      const { siteId, probeId } = c.req.valid('param');
      await changeProbe(db, siteId, probeId, c.req.valid('json'), { secret, nowMs: now() });
      return c.body(null, 204);
    })
    .openapi(remove, async (c) => {
      const { siteId, probeId } = c.req.valid('param');
      await removeProbe(db, siteId, probeId);
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
      const nowMs = now();
      await askForReading(db, siteId, probeId, { by: c.get('actor').name, nowMs });
      return c.json({ askedAt: new Date(nowMs).toISOString() }, 202);
    });
}
