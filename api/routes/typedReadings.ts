import { createRoute } from '@hono/zod-openapi';
import { createAcceptSweeps } from '../../ingest/acceptSweeps.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { recordChange } from '../audit/recordChange.ts';
import { loadPoint } from '../baseline/loadPoint.ts';
import type { Deps } from '../deps.ts';
import { ApiError } from '../errors.ts';
import { typedContext } from '../readings/typedContext.ts';
import { dropDraft, keepDraft, markSaved, typedDrafts } from '../readings/typedDrafts.ts';
import { typedForm } from '../readings/typedForm.ts';
import { typedContractSweep } from '../readings/typedSweep.ts';
import { typedVerdict } from '../readings/typedVerdict.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { PointParams } from '../schemas/params.ts';
import {
  TypedDraftSchema,
  TypedDraftsSchema,
  TypedFormSchema,
  TypedSavedSchema,
  TypedSweepSchema,
  TypedVerdictSchema,
} from '../schemas/typedReadings.ts';

const getForm = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/points/{pointId}/readings/form',
  summary: 'Channels to read at a point by hand, with what they were in the baseline',
  middleware: [requireRole('technician')] as const,
  request: { params: PointParams },
  responses: { 200: jsonAnswer('What the form needs', TypedFormSchema) },
});

const putDraft = createRoute({
  method: 'put',
  path: '/api/sites/{siteId}/points/{pointId}/readings/draft',
  summary: 'Keep readings as far as they are typed, for others to see, and judge them',
  middleware: [requireRole('technician')] as const,
  request: { params: PointParams, body: jsonBody(TypedDraftSchema) },
  responses: { 200: jsonAnswer('What the figures say so far', TypedVerdictSchema) },
});

const deleteDraft = createRoute({
  method: 'delete',
  path: '/api/sites/{siteId}/points/{pointId}/readings/draft',
  summary: 'Throw away what you have typed at a point and not saved',
  middleware: [requireRole('technician')] as const,
  request: { params: PointParams },
  responses: DONE,
});

const save = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/points/{pointId}/readings',
  summary: 'Store typed readings as one sweep; the same one sent again is known',
  middleware: [requireRole('technician')] as const,
  request: { params: PointParams, body: jsonBody(TypedSweepSchema) },
  responses: { 200: jsonAnswer('The sweep as it is stored', TypedSavedSchema) },
});

const getDrafts = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/points/{pointId}/readings/drafts',
  summary: 'What people are typing at a point now',
  middleware: [requireRole('viewer')] as const,
  request: { params: PointParams },
  responses: { 200: jsonAnswer('Drafts with what they say', TypedDraftsSchema) },
});

/** Readings that a person types from a meter which exports nothing. */
export function typedReadingRoutes({ db, pool, now }: Deps) {
  const accept = createAcceptSweeps({ db, pool });
  return createRouter()
    .openapi(getForm, async (c) => {
      const { siteId, pointId } = c.req.valid('param');
      return c.json(await typedForm(db, siteId, pointId, now()), 200);
    })
    .openapi(putDraft, async (c) => {
      const place = c.req.valid('param');
      const draft = c.req.valid('json');
      const context = await typedContext(db, place.siteId, place.pointId, now());
      await keepDraft(db, place, c.get('actor'), draft, now());
      return c.json(typedVerdict(draft, context), 200);
    })
    .openapi(deleteDraft, async (c) => {
      const { siteId, pointId } = c.req.valid('param');
      await dropDraft(db, siteId, pointId, c.get('actor'));
      return c.body(null, 204);
    })
    .openapi(save, async (c) => {
      const place = c.req.valid('param');
      const { at, ...draft } = c.req.valid('json');
      const { point } = await loadPoint(db, place.siteId, place.pointId);
      const sweep = typedContractSweep(point.name, draft, Date.parse(at), now());
      const { name: by, via } = c.get('actor');
      const subject = {
        subjectKind: 'sweep at point',
        subjectId: `${place.pointId}, ${sweep.at}, ${sweep.instrument}`,
        siteId: place.siteId,
      };
      const nowMs = now();
      const { duplicates, rejected } = await accept(place.siteId, [sweep], nowMs, (trx) =>
        recordChange(trx, { by, via, action: 'type', ...subject, before: null, after: draft }, nowMs),
      );
      if (rejected[0] !== undefined) {
        throw new ApiError(
          409,
          'not-stored',
          `the sweep was not stored: ${rejected[0].reason}`,
          'change a figure, then save again',
        );
      }
      await keepDraft(db, place, c.get('actor'), draft, now());
      await markSaved(db, place, c.get('actor'), now());
      return c.json({ at: sweep.at, instrument: sweep.instrument, known: duplicates > 0 }, 200);
    })
    .openapi(getDrafts, async (c) => {
      const { siteId, pointId } = c.req.valid('param');
      return c.json(await typedDrafts(db, siteId, pointId, now()), 200);
    });
}
