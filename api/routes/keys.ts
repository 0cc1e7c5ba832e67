import { createRoute } from '@hono/zod-openapi';
import { issueSiteKey, revokeSiteKey } from '../../ingest/store/siteKeys.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { NotFound } from '../errors.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { SiteKeyParams, SiteParams } from '../schemas/params.ts';
import {
  IssuedSiteKeySchema,
  NewSiteKeySchema,
  RejectedSweepsSchema,
  SiteKeysSchema,
} from '../schemas/siteKeys.ts';
import { findSiteKey, listRejections, listSiteKeys } from '../setup/siteKeys.ts';
import { findSite } from '../setup/sites.ts';

const list = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/keys',
  summary: 'Keys that may send sweeps for a site, and those that ended; never the secrets',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('Newest first', SiteKeysSchema) },
});

const issue = createRoute({
  method: 'post',
  path: '/api/sites/{siteId}/keys',
  summary: 'Make a site key; it is shown this once',
  middleware: [requireRole('manager')] as const,
  request: { params: SiteParams, body: jsonBody(NewSiteKeySchema) },
  responses: { 201: jsonAnswer('The key', IssuedSiteKeySchema) },
});

const revoke = createRoute({
  method: 'delete',
  path: '/api/sites/{siteId}/keys/{keyId}',
  summary: 'End a site key at once',
  middleware: [requireRole('manager')] as const,
  request: { params: SiteKeyParams },
  responses: DONE,
});

const rejected = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/rejected',
  summary: 'Sweeps of the site that were refused, with the reason',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams },
  responses: { 200: jsonAnswer('Newest first', RejectedSweepsSchema) },
});

/** What lets a site send, and what came of it. */
export function siteKeyRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => {
      const { siteId } = await findSite(db, c.req.valid('param').siteId);
      return c.json({ keys: await listSiteKeys(db, siteId) }, 200);
    })
    .openapi(issue, async (c) => {
      const { siteId } = await findSite(db, c.req.valid('param').siteId);
      const { label } = c.req.valid('json');
      const actor = c.get('actor');
      const issued = await audited(
        { db, actor, nowMs: now() },
        (trx) => issueSiteKey(trx, { siteId, label, createdBy: actor.name }),
        {
          action: 'issue',
          subjectKind: 'site key',
          subjectId: ({ keyId }) => keyId,
          siteId,
          after: async () => ({ label }),
        },
      );
      return c.json(issued, 201);
    })
    .openapi(revoke, async (c) => {
      const { siteId, keyId } = c.req.valid('param');
      const nowMs = now();
      await audited(
        { db, actor: c.get('actor'), nowMs },
        async (trx) => {
          if (!(await revokeSiteKey(trx, siteId, keyId, nowMs))) throw new NotFound('key in force', keyId);
        },
        {
          action: 'revoke',
          subjectKind: 'site key',
          subjectId: keyId,
          siteId,
          before: (trx) => findSiteKey(trx, siteId, keyId),
          after: (trx) => findSiteKey(trx, siteId, keyId),
        },
      );
      return c.body(null, 204);
    })
    .openapi(rejected, async (c) => {
      const { siteId } = await findSite(db, c.req.valid('param').siteId);
      return c.json({ rejected: await listRejections(db, siteId) }, 200);
    });
}
