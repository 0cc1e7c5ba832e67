import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import type { Deps } from '../deps.ts';
import {
  addCalibration,
  changeInstrument,
  listInstruments,
  removeCalibration,
} from '../instruments/instruments.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import {
  CalibrationParams,
  ChangeInstrumentSchema,
  InstrumentParams,
  InstrumentsSchema,
  NewCalibrationSchema,
} from '../schemas/instruments.ts';
import { SiteParams } from '../schemas/params.ts';
import { findSite } from '../setup/sites.ts';

const list = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/instruments',
  summary: 'Instruments that have read at a site, with their calibrations',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('Those that read last first', InstrumentsSchema) },
});

const change = createRoute({
  method: 'patch',
  path: '/api/sites/{siteId}/instruments/{name}',
  summary: 'Say what an instrument is',
  middleware: [requireRole('technician')] as const,
  request: { params: InstrumentParams, body: jsonBody(ChangeInstrumentSchema) },
  responses: DONE,
});

const calibrate = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/instruments/{name}/calibrations',
  summary: 'Enter a calibration: from its date on, the engine takes another bias for the instrument’s own',
  middleware: [requireRole('technician')] as const,
  request: { params: InstrumentParams, body: jsonBody(NewCalibrationSchema) },
  responses: DONE,
});

const takeBack = createRoute({
  method: 'delete',
  path: '/api/sites/{siteId}/instruments/{name}/calibrations/{calibrationId}',
  summary: 'Take back a calibration that was entered by mistake',
  middleware: [requireRole('technician')] as const,
  request: { params: CalibrationParams },
  responses: DONE,
});

/** What measures, and how far it can be trusted. */
export function instrumentRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => {
      const { siteId } = await findSite(db, c.req.valid('param').siteId);
      return c.json({ instruments: await listInstruments(db, siteId, now()) }, 200);
    })
    .openapi(change, async (c) => {
      const { siteId, name } = c.req.valid('param');
      await changeInstrument(db, siteId, name, c.req.valid('json'));
      return c.body(null, 204);
    })
    .openapi(calibrate, async (c) => {
      const { siteId, name } = c.req.valid('param');
      await addCalibration(db, siteId, name, c.req.valid('json'), { by: c.get('actor').name, nowMs: now() });
      return c.body(null, 204);
    })
    .openapi(takeBack, async (c) => {
      const { siteId, name, calibrationId } = c.req.valid('param');
      await removeCalibration(db, siteId, name, calibrationId);
      return c.body(null, 204);
    });
}
