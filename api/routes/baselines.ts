import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import { acceptBaseline } from '../baseline/acceptBaseline.ts';
import { baselineInForce, baselineVersions } from '../baseline/baselineQueries.ts';
import { baselineProposalView, baselineVersionView } from '../baseline/baselineView.ts';
import { loadPoint } from '../baseline/loadPoint.ts';
import { proposeBaseline } from '../baseline/proposeBaseline.ts';
import type { Deps } from '../deps.ts';
import { createRouter, jsonAnswer, jsonBody } from '../router.ts';
import {
  AcceptBaselineBody,
  BaselineListSchema,
  BaselineProposalSchema,
  BaselineVersionSchema,
  BaselineWindowQuery,
} from '../schemas/baseline.ts';
import { PointParams } from '../schemas/params.ts';

const path = '/api/sites/{siteId}/points/{pointId}/baselines';

const list = createRoute({
  method: 'get',
  path,
  summary: 'Accepted baselines of a point, newest version first',
  middleware: [requireRole('viewer')] as const,
  request: { params: PointParams },
  responses: { 200: jsonAnswer('Every version', BaselineListSchema) },
});

const preview = createRoute({
  method: 'get',
  path: `${path}/preview`,
  summary: 'The baseline that a window of sweeps would make; nothing is kept',
  middleware: [requireRole('technician')] as const,
  request: { params: PointParams, query: BaselineWindowQuery },
  responses: { 200: jsonAnswer('The proposal, with what lies outside the limits', BaselineProposalSchema) },
});

const accept = createRoute({
  method: 'post',
  path,
  summary: 'Accept a baseline under the name of the person signed in',
  middleware: [requireRole('technician')] as const,
  request: { params: PointParams, body: jsonBody(AcceptBaselineBody) },
  responses: { 201: jsonAnswer('The version that was kept', BaselineVersionSchema) },
});

/** Proposing, accepting and listing the references of a point. */
export function baselineRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => {
      const { siteId, pointId } = c.req.valid('param');
      await loadPoint(db, siteId, pointId);

      const versions = await baselineVersions(db, siteId, pointId);

      return c.json({ pointId, versions: versions.map(baselineVersionView) }, 200);
    })
    .openapi(preview, async (c) => {
      const { from, to } = c.req.valid('query');
      const window = { ...c.req.valid('param'), fromMs: Date.parse(from), toMs: Date.parse(to) };

      const proposal = await proposeBaseline(db, window);
      const current = await baselineInForce(db, window.siteId, window.pointId, now());

      return c.json(baselineProposalView(proposal, current), 200);
    })
    .openapi(accept, async (c) => {
      const { from, to, effectiveFrom, exceptionNote } = c.req.valid('json');
      const window = { ...c.req.valid('param'), fromMs: Date.parse(from), toMs: Date.parse(to) };

      const actor = c.get('actor');
      const nowMs = now();
      const acceptance = {
        acceptedBy: actor.name,
        acceptedAtMs: nowMs,
        exceptionNote,
        effectiveFromMs: effectiveFrom === undefined ? undefined : Date.parse(effectiveFrom),
      };
      const newestVersion = async (trx: Db) => {
        const [newest] = await baselineVersions(trx, window.siteId, window.pointId);
        return newest && baselineVersionView(newest);
      };
      const kept = await audited({ db, actor, nowMs }, (trx) => acceptBaseline(trx, window, acceptance), {
        action: 'accept',
        subjectKind: 'baseline',
        subjectId: ({ version }) => `point ${window.pointId}, version ${version}`,
        siteId: window.siteId,
        before: newestVersion,
        after: newestVersion,
      });

      return c.json(baselineVersionView(kept), 201);
    });
}
