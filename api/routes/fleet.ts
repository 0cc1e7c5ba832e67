import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import type { Deps } from '../deps.ts';
import { fleetPage } from '../risk/fleetPage.ts';
import { createRouter, jsonAnswer } from '../router.ts';
import { FleetPageSchema, FleetQuery } from '../schemas/fleet.ts';

const getFleet = createRoute({
  method: 'get',
  path: '/api/fleet',
  summary: 'Sites ranked by expected outlet-days of unacceptable service over the next 14 days',
  middleware: [requireRole('viewer')] as const,
  request: { query: FleetQuery },
  responses: { 200: jsonAnswer('One slice of the ranked list', FleetPageSchema) },
});

/** The ranked list, in slices, with a search over site, town and provider. */
export function fleetRoutes({ db }: Deps) {
  return createRouter().openapi(getFleet, async (c) => {
    const page = await fleetPage(db, c.req.valid('query'));

    return c.json(page, 200);
  });
}
