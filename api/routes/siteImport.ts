import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import type { Deps } from '../deps.ts';
import { createRouter, jsonAnswer, jsonBody } from '../router.ts';
import { ImportFormSchema, ImportReportSchema, SiteImportSchema } from '../schemas/siteImport.ts';
import { importForm } from '../setup/import/importForm.ts';
import { importSites } from '../setup/import/importSites.ts';

const form = createRoute({
  method: 'get',
  path: '/api/imports/sites/form',
  summary: 'The columns of the files that sites and points are brought in from, with templates',
  middleware: [requireRole('viewer')] as const,
  responses: { 200: jsonAnswer('The form of both files', ImportFormSchema) },
});

const bringIn = createRoute({
  method: 'post',
  path: '/api/imports/sites',
  summary: 'Bring sites and points in from CSV; without "apply" nothing is kept and every fault is listed',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(SiteImportSchema) },
  responses: {
    200: jsonAnswer('What was done or would be, site by site, and what is wrong', ImportReportSchema),
  },
});

/** Many sites at once. */
export function siteImportRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(form, (c) => c.json(importForm(), 200))
    .openapi(bringIn, async (c) => {
      const context = { db, actor: c.get('actor'), nowMs: now() };
      return c.json(await importSites(context, c.req.valid('json')), 200);
    });
}
