import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import type { Deps } from '../deps.ts';
import { addWindow, cancelWindow, changeWindow, listWindows } from '../maintenance/windows.ts';
import { createRouter, jsonAnswer, jsonBody } from '../router.ts';
import {
  ChangeWindowSchema,
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
    .openapi(add, async (c) =>
      c.json(await addWindow(db, c.req.valid('json'), c.get('actor').name, now()), 201),
    )
    .openapi(change, async (c) => {
      const { windowId } = c.req.valid('param');
      return c.json(await changeWindow(db, windowId, c.req.valid('json'), now()), 200);
    })
    .openapi(cancel, async (c) => {
      const { windowId } = c.req.valid('param');
      return c.json(await cancelWindow(db, windowId, c.get('actor').name, now()), 200);
    });
}
