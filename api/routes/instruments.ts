import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { findCalibration, findInstrument } from '../instruments/findInstrument.ts';
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
      const find = (trx: Db) => findInstrument(trx, siteId, name);
      await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => changeInstrument(trx, siteId, name, c.req.valid('json')),
        { action: 'change', subjectKind: 'instrument', subjectId: name, siteId, before: find, after: find },
      );
      return c.body(null, 204);
    })
    .openapi(calibrate, async (c) => {
      const { siteId, name } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      await audited(
        { db, actor, nowMs },
        (trx) => addCalibration(trx, siteId, name, c.req.valid('json'), { by: actor.name, nowMs }),
        {
          action: 'enter',
          subjectKind: 'calibration',
          subjectId: (id) => id,
          siteId,
          after: (trx, id) => findCalibration(trx, siteId, name, id),
        },
      );
      return c.body(null, 204);
    })
    .openapi(takeBack, async (c) => {
      const { siteId, name, calibrationId } = c.req.valid('param');
      await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => removeCalibration(trx, siteId, name, calibrationId),
        {
          action: 'remove',
          subjectKind: 'calibration',
          subjectId: calibrationId,
          siteId,
          before: (trx) => findCalibration(trx, siteId, name, calibrationId),
        },
      );
      return c.body(null, 204);
    });
}
