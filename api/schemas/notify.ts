import { z } from '@hono/zod-openapi';
import { SEVERITIES } from '../../ingest/store/schema.ts';
import { isTimeZone } from '../notify/localTime.ts';
import { Instant, SideSchema } from './common.ts';

const Id = z.number().int().positive();
const Name = z.string().trim().min(1).max(120);
const TimeZone = z.string().refine(isTimeZone, 'must be an IANA time zone such as "America/Chicago"');
/** "22:15" on a clock, in quarters of an hour. */
const Clock = z
  .string()
  .regex(/^([01]\d|2[0-3]):(00|15|30|45)$/, 'must be a time in quarters of an hour, such as "22:15"');

export const ReachSchema = z.object({
  timeZone: TimeZone,
  /** Between these times on the clocks of the zone nothing is sent; null: no quiet hours. */
  quiet: z
    .object({ from: Clock, to: Clock })
    .refine(({ from, to }) => from !== to, { error: 'must end at another time than it begins', path: ['to'] })
    .nullable(),
  /** 1 for Monday to 7 for Sunday. */
  workDays: z
    .array(z.number().int().min(1).max(7))
    .min(1, 'choose at least one day')
    .refine((days) => new Set(days).size === days.length, 'must name each day once'),
  digest: z.object({ daily: z.boolean(), weekly: z.boolean(), at: Clock }),
});
export type Reach = z.infer<typeof ReachSchema>;

const Mailbox = z.object({
  kind: z.literal('mailbox'),
  name: Name,
  address: z.email('must be an e-mail address').max(254),
  reach: ReachSchema,
});
const WebhookTarget = z.object({ kind: z.literal('webhook'), name: Name, url: z.string().trim().max(2000) });

export const NewTargetSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('person'), personId: z.string().min(1).max(100), reach: ReachSchema }),
  Mailbox,
  WebhookTarget,
]);
export type NewTarget = z.infer<typeof NewTargetSchema>;

/** What of a target can change; its kind can't. */
export const ChangeTargetSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('person'), reach: ReachSchema }),
  Mailbox,
  WebhookTarget,
]);
export type ChangeTarget = z.infer<typeof ChangeTargetSchema>;

export const TargetSchema = z.object({
  targetId: z.number(),
  kind: z.enum(['person', 'mailbox', 'webhook']),
  name: z.string(),
  /** Where mail goes; null for a webhook. */
  address: z.string().nullable(),
  url: z.string().nullable(),
  /** The person's account is disabled, so nothing is sent. */
  disabled: z.boolean(),
  reach: ReachSchema.nullable(),
  /** Rules that name it. */
  rules: z.number(),
});
export type TargetView = z.infer<typeof TargetSchema>;

/** `secret` signs a webhook's messages; it is shown this once. */
export const AddedTargetSchema = z.object({ targetId: z.number(), secret: z.string().nullable() });
export type AddedTarget = z.infer<typeof AddedTargetSchema>;
export const SecretSchema = z.object({ secret: z.string() });

export const AboutSchema = z.object({
  /** Null for every site. */
  siteIds: z.array(Id).min(1).max(200).nullable(),
  /** Events of these providers' feeds, and alerts at sites on them; null for every feed. */
  providerIds: z.array(Id).min(1).max(200).nullable(),
  kind: z.enum(['site', 'provider-event']).nullable(),
  severityAtLeast: z.enum(SEVERITIES),
  side: SideSchema.nullable(),
  daysLeftUnder: z.number().int().min(1).max(365).nullable(),
});

export const TermsSchema = z.object({
  name: Name,
  about: AboutSchema,
  delayMin: z.number().int().min(0).max(1440),
  /** Who is told, and who next while nobody acknowledges; the first at 0 minutes. */
  steps: z
    .array(
      z.object({
        afterMin: z.number().int().min(0).max(10_080),
        targetIds: z.array(Id).min(1, 'choose whom to tell').max(50),
      }),
    )
    .min(1)
    .max(10)
    .refine((steps) => steps[0]?.afterMin === 0, 'must begin at 0 minutes')
    .refine(
      (steps) => steps.every((step, i) => i === 0 || step.afterMin > steps[i - 1]!.afterMin),
      'must each come later than the one before',
    ),
  tellsWorse: z.boolean(),
  tellsReturn: z.boolean(),
  throughQuiet: z.boolean(),
});
export const SaveRuleSchema = TermsSchema.extend({ enabled: z.boolean() });
export type SaveRule = z.infer<typeof SaveRuleSchema>;

export const RuleSchema = SaveRuleSchema.extend({
  ruleId: z.number(),
  /** The rule in plain words. */
  sentence: z.string(),
  /** Names of the sites that it is limited to. */
  sites: z.array(z.object({ siteId: z.number(), name: z.string() })),
});
export type RuleView = z.infer<typeof RuleSchema>;
export const AddedRuleSchema = z.object({ ruleId: z.number() });

export const NotifySchema = z.object({
  /** The address that e-mail comes from; null where e-mail is not set up. */
  mailFrom: z.string().nullable(),
  targets: z.array(TargetSchema),
  rules: z.array(RuleSchema),
  /** Accounts that are no target yet. */
  people: z.array(z.object({ personId: z.string(), name: z.string(), email: z.string() })),
});
export type NotifyView = z.infer<typeof NotifySchema>;

export const PreviewRuleSchema = z.object({
  rule: TermsSchema,
  /** Zone in which days are counted. */
  timeZone: TimeZone,
});

export const PreviewSchema = z.object({
  sentence: z.string(),
  fromAt: Instant,
  toAt: Instant,
  messages: z.number(),
  targets: z.array(z.object({ targetId: z.number(), name: z.string(), messages: z.number() })),
  /** Messages on each of the last 30 days, oldest first. */
  days: z.array(z.object({ date: z.string(), messages: z.number() })),
  /** The newest of them. */
  latest: z.array(
    z.object({
      at: Instant,
      target: z.string(),
      /** Quiet hours would have held it back. */
      held: z.boolean(),
      alerts: z.array(
        z.object({
          alertId: z.number(),
          severity: z.enum(SEVERITIES),
          title: z.string(),
          where: z.string(),
          what: z.enum(['open', 'worse', 'returned']),
          step: z.number(),
        }),
      ),
      more: z.number(),
    }),
  ),
});
export type Preview = z.infer<typeof PreviewSchema>;

export const DeliveryQuery = z.object({
  state: z.enum(['waiting', 'sent', 'dead', 'dropped']).optional(),
  /** Only those older than this one. */
  before: z.coerce.number().int().positive().optional(),
});

export const DeliverySchema = z.object({
  deliveryId: z.number(),
  kind: z.enum(['alerts', 'daily', 'weekly', 'test']),
  state: z.enum(['waiting', 'sent', 'dead', 'dropped']),
  sentTo: z.string(),
  /** Null until it is put together. */
  summary: z.string().nullable(),
  held: z.boolean(),
  createdAt: Instant,
  /** When it is next to be tried, or was due. */
  sendAt: Instant,
  endedAt: Instant.nullable(),
  why: z.string(),
  attempts: z.array(
    z.object({
      attempt: z.number(),
      startedAt: Instant,
      endedAt: Instant.nullable(),
      /** Null while it runs, or where the server stopped before it knew. */
      outcome: z.enum(['accepted', 'try-again', 'refused']).nullable(),
      detail: z.string(),
    }),
  ),
});
export type DeliveryView = z.infer<typeof DeliverySchema>;
export const DeliveriesSchema = z.object({
  deliveries: z.array(DeliverySchema),
  /** Messages given up that nobody has sent again. */
  dead: z.number(),
  more: z.boolean(),
});
export type Deliveries = z.infer<typeof DeliveriesSchema>;

/** How the one attempt of a test, or of a message sent again, ended. */
export const TriedSchema = z.object({
  outcome: z.enum(['accepted', 'try-again', 'refused']).nullable(),
  detail: z.string(),
});
export type Tried = z.infer<typeof TriedSchema>;

export const MyReachSchema = z.object({
  address: z.string(),
  reach: ReachSchema.nullable(),
  /** Names of the rules that tell the person. */
  rules: z.array(z.string()),
  mailSetUp: z.boolean(),
});
export type MyReach = z.infer<typeof MyReachSchema>;
