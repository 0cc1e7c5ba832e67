import { z } from '@hono/zod-openapi';
import { ALERT_CHANGES, ALERT_STATES, SEVERITIES } from '../../ingest/store/schema.ts';
import { FindingSchema, Instant, SideSchema } from './common.ts';

export const SeveritySchema = z.enum(SEVERITIES);
export const AlertStateSchema = z.enum(ALERT_STATES);
export type SeverityWord = z.infer<typeof SeveritySchema>;
export type AlertStateWord = z.infer<typeof AlertStateSchema>;

const Id = z.coerce.number().int().positive();

export const AlertParams = z.object({ alertId: Id });

export const AlertQuery = z.object({
  /** Without it: those that people are told of, which are active or returned and unacknowledged. */
  state: AlertStateSchema.optional(),
  severity: SeveritySchema.optional(),
  side: SideSchema.optional(),
  providerId: Id.optional(),
  siteId: Id.optional(),
  offset: z.coerce.number().int().min(0).max(1_000_000).default(0),
  limit: z.coerce.number().int().min(1).max(500).default(100),
});

export const AlertSchema = z.object({
  alertId: z.number(),
  /** `provider-event`: one change at many sites of a provider. */
  kind: z.enum(['site', 'provider-event']),
  siteId: z.number().nullable(),
  siteName: z.string().nullable(),
  town: z.string().nullable(),
  providerId: z.number().nullable(),
  provider: z.string().nullable(),
  /** Zone of the site; of a provider's event the one that most of its sites are in. */
  timeZone: z.string(),
  /** In the words of ITU-T X.733. */
  severity: SeveritySchema,
  /** In the words of ISA-18.2. */
  state: AlertStateSchema,
  title: z.string(),
  sentence: z.string(),
  side: SideSchema.nullable(),
  cause: z.string().nullable(),
  doFirst: z.string(),
  onsetAt: Instant,
  raisedAt: Instant,
  /** Since when sweeps confirm that it is over; null while it stands. */
  returnedAt: Instant.nullable(),
  closedAt: Instant.nullable(),
  /** Days until a limit is reached, 10, 50 and 90 % quantiles; zeros when it is passed; null when none lies ahead. */
  limitDays: z.object({ p10: z.number(), p50: z.number(), p90: z.number() }).nullable(),
  outlets: z.number(),
  sites: z.number(),
  /** Expected outlet-days of unacceptable service over the next 14 days. */
  priority: z.number(),
  shelvedUntil: Instant.nullable(),
  acknowledgedBy: z.string().nullable(),
  acknowledgedAt: Instant.nullable(),
  /** The provider's event that it is part of. */
  partOf: z.number().nullable(),
});
export type AlertView = z.infer<typeof AlertSchema>;

export const AlertPageSchema = z.object({
  /** Alerts that match. */
  total: z.number(),
  /** Of all there are and not only of those that match. */
  unacknowledged: z.number(),
  states: z.record(AlertStateSchema, z.number()),
  rows: z.array(AlertSchema),
});
export type AlertPage = z.infer<typeof AlertPageSchema>;

export const AlertChangeSchema = z.object({
  changeId: z.number(),
  at: Instant,
  kind: z.enum(ALERT_CHANGES),
  by: z.string(),
  why: z.string(),
  before: z.record(z.string(), z.unknown()).nullable(),
  after: z.record(z.string(), z.unknown()).nullable(),
});
export type AlertChangeView = z.infer<typeof AlertChangeSchema>;

export const OneAlertSchema = AlertSchema.extend({
  /** What it tells of now; none for a provider's event, whose sites have their own. */
  findings: z.array(FindingSchema),
  /** Sites of a provider's event, by name. */
  members: z.array(
    z.object({
      siteId: z.number(),
      name: z.string(),
      town: z.string(),
      outlets: z.number(),
      /** The site's own alert, held back while the event stands. */
      alertId: z.number().nullable(),
      shows: z.boolean(),
    }),
  ),
  /** Oldest first; none is ever deleted. */
  changes: z.array(AlertChangeSchema),
});
export type OneAlertView = z.infer<typeof OneAlertSchema>;

const Chosen = z.object({ alertIds: z.array(z.number().int().positive()).min(1).max(500) });
const Words = z.string().trim().max(1000);

export const DoToAlertsSchema = Chosen.extend({ why: Words.default('') });
export const ExplainedAlertsSchema = Chosen.extend({ why: Words.min(1) });
export const ShelveAlertsSchema = ExplainedAlertsSchema.extend({ until: Instant });

export const DoneToAlertsSchema = z.object({
  done: z.array(z.number()),
  /** Alerts whose state doesn't allow it, or that aren't there, with the reason; nothing happened to those. */
  refused: z.array(z.object({ alertId: z.number(), reason: z.string() })),
});
export type DoneToAlerts = z.infer<typeof DoneToAlertsSchema>;
