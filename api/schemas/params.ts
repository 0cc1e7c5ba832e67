import { z } from '@hono/zod-openapi';

const Id = z.coerce.number().int().positive();

/** Which site, from the address. */
export const SiteParams = z.object({ siteId: Id });
/** Which point of which site, from the address. */
export const PointParams = z.object({ siteId: Id, pointId: Id });
