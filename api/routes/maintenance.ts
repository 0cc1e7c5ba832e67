import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { addWindow, cancelWindow, changeWindow, findWindow, listWindows } from '../maintenance/windows.ts';
import { createRouter, jsonAnswer, jsonBody } from '../router.ts';
import {
  ChangeWindowSchema,
  type MaintenanceWindow,
  MaintenanceWindowSchema,
  MaintenanceWindowsSchema,
  NewWindowSchema,
  WindowParams,
  WindowsQuery,
} from '../schemas/maintenance.ts';
import { findSite } from '../setup/sites.ts';

const list = createRoute({
  method: 'get',
  path: '/api/maintenance',
  summary: 'Maintenance windows, past and to come',
  middleware: [requireRole('viewer')] as const,
  request: { query: WindowsQuery },
  responses: { 200: jsonAnswer('The latest first', MaintenanceWindowsSchema) },
});

const add = createRoute({
  method: 'post',
  path: '/api/maintenance',
  summary: 'Plan a maintenance window: readings inside are kept and raise nothing',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(NewWindowSchema) },
  responses: { 201: jsonAnswer('The window', MaintenanceWindowSchema) },
});

const change = createRoute({
  method: 'patch',
  path: '/api/maintenance/{windowId}',
  summary: 'Change times, reason or effect of a window',
  middleware: [requireRole('manager')] as const,
  request: { params: WindowParams, body: jsonBody(ChangeWindowSchema) },
  responses: { 200: jsonAnswer('The window', MaintenanceWindowSchema) },
});

const cancel = createRoute({
  method: 'delete',
  path: '/api/maintenance/{windowId}',
  summary: 'Cancel a window: readings inside are judged like any others, and the window stays in the list',
  middleware: [requireRole('manager')] as const,
  request: { params: WindowParams },
  responses: { 200: jsonAnswer('The window', MaintenanceWindowSchema) },
});

/** Times in which people work on the plant. */
export function maintenanceRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => {
      const { site } = c.req.valid('query');
      if (site !== undefined) await findSite(db, site);
      return c.json({ windows: await listWindows(db, site ?? null, now()) }, 200);
    })
    .openapi(add, async (c) => {
      const [actor, nowMs] = [c.get('actor'), now()];
      const added = await audited(
        { db, actor, nowMs },
        (trx) => addWindow(trx, c.req.valid('json'), actor.name, nowMs),
        { action: 'add', ...WINDOW },
      );
      return c.json(added, 201);
    })
    .openapi(change, async (c) => {
      const { windowId } = c.req.valid('param');
      const nowMs = now();
      const changed = await audited(
        { db, actor: c.get('actor'), nowMs },
        (trx) => changeWindow(trx, windowId, c.req.valid('json'), nowMs),
        { action: 'change', ...WINDOW, before: (trx) => findWindow(trx, windowId, nowMs) },
      );
      return c.json(changed, 200);
    })
    .openapi(cancel, async (c) => {
      const { windowId } = c.req.valid('param');
      const [actor, nowMs] = [c.get('actor'), now()];
      const cancelled = await audited(
        { db, actor, nowMs },
        (trx) => cancelWindow(trx, windowId, actor.name, nowMs),
        { action: 'cancel', ...WINDOW, before: (trx) => findWindow(trx, windowId, nowMs) },
      );
      return c.json(cancelled, 200);
    });
}

/** What a change of a window is called in the audit. */
const WINDOW = {
  subjectKind: 'maintenance window',
  subjectId: ({ windowId }: MaintenanceWindow) => windowId,
  siteId: ({ scope, scopeId }: MaintenanceWindow) => (scope === 'site' ? scopeId : null),
  after: async (_: Db, window: MaintenanceWindow) => window,
};
