import { z } from '@hono/zod-openapi';

const Id = z.coerce.number().int().positive();

/** Which site, from the address. */
export const SiteParams = z.object({ siteId: Id });
/** Which point of which site, from the address. */
export const PointParams = z.object({ siteId: Id, pointId: Id });
export const ProviderParams = z.object({ providerId: Id });
export const PlanParams = z.object({ planId: Id });
export const PlanVersionParams = z.object({ planId: Id, version: Id });
export const SiteKeyParams = z.object({ siteId: Id, keyId: Id });
export const LinkParams = z.object({ linkId: Id });
export const TokenParams = z.object({ tokenId: Id });
export const AccountParams = z.object({ accountId: z.string().min(1).max(100) });
export const ComplaintParams = z.object({ siteId: Id, complaintId: Id });
export const VisitDayParams = z.object({ dayId: Id });
export const NotifyRuleParams = z.object({ ruleId: Id });
export const NotifyTargetParams = z.object({ targetId: Id });
export const DeliveryParams = z.object({ deliveryId: Id });
export const ProbeParams = z.object({ siteId: Id, probeId: Id });
