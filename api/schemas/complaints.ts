import { z } from '@hono/zod-openapi';
import { SYMPTOMS } from '../../ingest/store/schema.ts';
import { Instant, ServiceSchema } from './common.ts';

export const SymptomSchema = z.enum(SYMPTOMS);
export type Symptom = z.infer<typeof SymptomSchema>;

const Text = (longest: number) => z.string().trim().max(longest).default('');

export const NewComplaintSchema = z.object({
  /** Now when absent. */
  seenAt: Instant.optional(),
  pointId: z.number().int().positive().nullable().default(null),
  /** Room, flat or outlet as the person names it. */
  outlet: Text(120),
  symptom: SymptomSchema,
  /** The channel as the viewer names it: a number or a name. */
  viewerChannel: Text(80),
  /** RF channel, where several answer to what the viewer said. */
  rfChannel: z.string().trim().min(1).max(20).nullable().default(null),
  note: Text(1000),
});
export type NewComplaint = z.input<typeof NewComplaintSchema>;

export const LoggedComplaintSchema = z.object({ complaintId: z.number() });

export const COMPLAINT_VERDICTS = ['warned', 'below-notice', 'not-seen'] as const;
export const ComplaintVerdictSchema = z.enum(COMPLAINT_VERDICTS);
export type ComplaintVerdict = z.infer<typeof ComplaintVerdictSchema>;

export const JudgementSchema = z.object({
  verdict: ComplaintVerdictSchema,
  /** The warning, or what was found later. */
  by: z
    .object({
      source: z.enum(['alert', 'finding']),
      title: z.string(),
      alertId: z.number().nullable(),
      toldAt: Instant,
      onsetAt: Instant,
    })
    .nullable(),
  leadHours: z.number().nullable(),
  /** Largest change from baseline in the six hours before, dB. */
  deviationDb: z.number().nullable(),
  /** Whether there were readings that could have shown it. */
  read: z.boolean(),
});
export type JudgementView = z.infer<typeof JudgementSchema>;

export const ComplaintSchema = z.object({
  siteId: z.number(),
  complaintId: z.number(),
  siteName: z.string(),
  town: z.string(),
  timeZone: z.string(),
  seenAt: Instant,
  pointId: z.number().nullable(),
  pointName: z.string().nullable(),
  outlet: z.string(),
  symptom: SymptomSchema,
  viewerChannel: z.string(),
  rfChannel: z.string().nullable(),
  rfMhz: z.number().nullable(),
  /** Everything that the same RF channel carries. */
  services: z.array(ServiceSchema),
  note: z.string(),
  loggedBy: z.string(),
  loggedAt: Instant,
  judgement: JudgementSchema,
});
export type ComplaintView = z.infer<typeof ComplaintSchema>;

export const ComplaintsQuery = z.object({
  /** Only those of one site. */
  site: z.coerce.number().int().positive().optional(),
  offset: z.coerce.number().int().min(0).max(1_000_000).default(0),
  limit: z.coerce.number().int().min(1).max(200).default(50),
});
export const ComplaintsSchema = z.object({ total: z.number(), complaints: z.array(ComplaintSchema) });
export type Complaints = z.infer<typeof ComplaintsSchema>;

export const SiteServicesQuery = z.object({
  search: z.string().trim().min(1).max(80),
  at: Instant.optional(),
});
/** What a viewer's words may stand for by the plan in force at the site. */
export const SiteServicesSchema = z.object({
  channels: z.array(
    z.object({ channel: z.string(), centreMhz: z.number(), services: z.array(ServiceSchema) }),
  ),
});
export type SiteServices = z.infer<typeof SiteServicesSchema>;

/** A share with its 95 % interval after Wilson; null where nothing was counted. */
export const ShareSchema = z.object({
  hits: z.number(),
  of: z.number(),
  share: z.number().nullable(),
  low: z.number().nullable(),
  high: z.number().nullable(),
});
export type Share = z.infer<typeof ShareSchema>;

const figures = {
  complaints: z.number(),
  /** Warned before, by an alert or a finding. */
  warned: ShareSchema,
  /** Of them, warned by an alert. */
  byAlert: ShareSchema,
  belowNotice: z.number(),
  notSeen: z.number(),
  medianLeadHours: z.number().nullable(),
  /** Alerts that somebody looked into and found nothing behind. */
  nothingFound: ShareSchema,
};
export const ComplaintFiguresSchema = z.object({
  ...figures,
  /** By month of the site's zone, newest first, "2026-03". */
  months: z.array(z.object({ month: z.string(), ...figures })),
});
export type ComplaintFigures = z.infer<typeof ComplaintFiguresSchema>;

export const ComplaintFiguresQuery = z.object({
  months: z.coerce.number().int().min(1).max(36).default(12),
});
