import { z } from '@hono/zod-openapi';
import { ALERT_STATES, SEVERITIES } from '../../ingest/store/schema.ts';
import { Instant, SideSchema } from './common.ts';

export const WebhookAlertSchema = z.object({
  /** `open`: raised, back, or still unacknowledged after the rule's time; `worse`: graver than before; `returned`: back to normal. */
  what: z.enum(['open', 'worse', 'returned']),
  alertId: z.number(),
  kind: z.enum(['site', 'provider-event']),
  severity: z.enum(SEVERITIES),
  state: z.enum(ALERT_STATES),
  siteId: z.number().nullable(),
  providerId: z.number().nullable(),
  where: z.string(),
  title: z.string(),
  sentence: z.string(),
  side: SideSchema.nullable(),
  cause: z.string().nullable(),
  doFirst: z.string(),
  onsetAt: Instant,
  raisedAt: Instant,
  returnedAt: Instant.nullable(),
  daysToLimit: z.object({ p10: z.number(), p50: z.number(), p90: z.number() }).nullable(),
  outlets: z.number(),
  sites: z.number(),
  url: z.string(),
});
export type WebhookAlert = z.infer<typeof WebhookAlertSchema>;

export const WebhookPayloadSchema = z.object({
  /** `test` comes from the test button, with no alerts in it. */
  type: z.enum(['alerts.changed', 'test']),
  timestamp: Instant,
  data: z.object({ alerts: z.array(WebhookAlertSchema) }),
});
export type WebhookPayload = z.infer<typeof WebhookPayloadSchema>;
