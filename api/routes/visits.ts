import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { SiteParams, VisitDayParams } from '../schemas/params.ts';
import {
  DayProposalSchema,
  KeptVisitDaySchema,
  NewVisitDaySchema,
  NewVisitResultSchema,
  PlanQuestion,
  VisitDaySchema,
  VisitDaysSchema,
  VisitResultsSchema,
} from '../schemas/visits.ts';
import { daySheet } from '../visits/daySheet.ts';
import { findDay } from '../visits/findDay.ts';
import { cancelDay, keepDay } from '../visits/keepDay.ts';
import { listDays } from '../visits/listDays.ts';
import { proposeDay } from '../visits/proposeDay.ts';
import { recordResult } from '../visits/recordResult.ts';
import { visitResults } from '../visits/visitResults.ts';

const RESULTS_SHOWN = 30;

const propose = createRoute({
  method: 'get',
  path: '/api/visit-proposals',
  summary: 'Which buildings to visit in given hours, in which order; keeps nothing',
  middleware: [requireRole('technician')] as const,
  request: { query: PlanQuestion },
  responses: { 200: jsonAnswer('The day, and what it leaves', DayProposalSchema) },
});

const list = createRoute({
  method: 'get',
  path: '/api/visit-days',
  summary: 'Days of visits to come and of the last 30 days',
  middleware: [requireRole('viewer')] as const,
  responses: { 200: jsonAnswer('Days, newest first', VisitDaysSchema) },
});

const keep = createRoute({
  method: 'post',
  path: '/api/visit-days',
  summary: 'Keep a day of visits, its sites in the order given',
  middleware: [requireRole('technician')] as const,
  request: { body: jsonBody(NewVisitDaySchema) },
  responses: { 201: jsonAnswer('Its number', KeptVisitDaySchema) },
});

const read = createRoute({
  method: 'get',
  path: '/api/visit-days/{dayId}',
  summary: 'One day of visits with all that a technician needs along',
  middleware: [requireRole('viewer')] as const,
  request: { params: VisitDayParams },
  responses: { 200: jsonAnswer('The day', VisitDaySchema) },
});

const cancel = createRoute({
  method: 'delete',
  path: '/api/visit-days/{dayId}',
  summary: 'Say that a day of visits won’t take place',
  middleware: [requireRole('technician')] as const,
  request: { params: VisitDayParams },
  responses: DONE,
});

const record = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/visit-results',
  summary: 'Record what was found and done at a point; sending one again is harmless',
  middleware: [requireRole('technician')] as const,
  request: { params: SiteParams, body: jsonBody(NewVisitResultSchema) },
  responses: DONE,
});

const results = createRoute({
  method: 'get',
  path: '/api/visit-results',
  summary: 'The newest results of visits, each with what the sweeps say of it',
  middleware: [requireRole('viewer')] as const,
  responses: { 200: jsonAnswer('Results, newest first', VisitResultsSchema) },
});

export function visitRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(propose, async (c) => c.json(await proposeDay(db, c.req.valid('query'), now()), 200))
    .openapi(list, async (c) => c.json({ days: await listDays(db, now()) }, 200))
    .openapi(keep, async (c) => {
      const [actor, nowMs] = [c.get('actor'), now()];
      const dayId = await audited(
        { db, actor, nowMs },
        (trx) => keepDay(trx, c.req.valid('json'), actor.name, nowMs),
        { action: 'plan', subjectKind: 'visit day', subjectId: (id) => id, after: findDay },
      );
      return c.json({ dayId }, 201);
    })
    .openapi(read, async (c) => c.json(await daySheet(db, c.req.valid('param').dayId, now()), 200))
    .openapi(cancel, async (c) => {
      const { dayId } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      const find = (trx: Db) => findDay(trx, dayId);
      await audited({ db, actor, nowMs }, (trx) => cancelDay(trx, dayId, actor.name, nowMs), {
        action: 'cancel',
        subjectKind: 'visit day',
        subjectId: dayId,
        before: find,
        after: find,
      });
      return c.body(null, 204);
    })
    .openapi(record, async (c) => {
      const { siteId } = c.req.valid('param');
      const result = c.req.valid('json');
      const [actor, nowMs] = [c.get('actor'), now()];
      await audited({ db, actor, nowMs }, (trx) => recordResult(trx, siteId, result, actor.name, nowMs), {
        action: 'record',
        subjectKind: 'visit result',
        subjectId: result.resultId,
        siteId,
        isChange: (isNew) => isNew,
        after: async () => result,
      });
      return c.body(null, 204);
    })
    .openapi(results, async (c) =>
      c.json({ results: await visitResults(db, { newest: RESULTS_SHOWN }) }, 200),
    );
}
