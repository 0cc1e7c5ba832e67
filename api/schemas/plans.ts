import { z } from '@hono/zod-openapi';
import { RASTERS } from '../../ingest/store/schema.ts';
import { Instant, ModulationSchema, ServiceSchema } from './common.ts';

export const RasterSchema = z.enum(RASTERS);

export const PlannedChannelSchema = z.object({
  /** RF channel as the raster names it, such as "2", "95", "S21". */
  channel: z.string().trim().min(1).max(20),
  /** Centre of the channel, MHz. */
  centreMhz: z.number().min(5).max(1800),
  widthMhz: z.number().min(0.1).max(200),
  modulation: ModulationSchema,
  services: z.array(ServiceSchema).max(200).default([]),
});
export type PlannedChannelInput = z.input<typeof PlannedChannelSchema>;
export type PlannedChannelView = z.infer<typeof PlannedChannelSchema>;

export const NewPlanVersionSchema = z.object({
  /** The version is in force from here until the next one; may lie in the past or in the future. */
  effectiveFrom: Instant,
  note: z.string().trim().max(500).default(''),
  channels: z.array(PlannedChannelSchema).min(1).max(500),
});
export type NewPlanVersion = z.input<typeof NewPlanVersionSchema>;

export const NewPlanSchema = NewPlanVersionSchema.extend({
  name: z.string().trim().min(1).max(120),
  raster: RasterSchema,
});
export type NewPlan = z.input<typeof NewPlanSchema>;

export const RenamePlanSchema = z.object({ name: NewPlanSchema.shape.name });

const versionSummary = {
  version: z.number(),
  effectiveFrom: Instant,
  note: z.string(),
  createdBy: z.string(),
  createdAt: Instant,
  inForce: z.boolean(),
};

export const PlanSummarySchema = z.object({
  planId: z.number(),
  name: z.string(),
  raster: RasterSchema,
  sites: z.number(),
  /** Newest effective date first. */
  versions: z.array(z.object({ ...versionSummary, channels: z.number() })),
});
export type PlanSummary = z.infer<typeof PlanSummarySchema>;
export const PlansSchema = z.object({ plans: z.array(PlanSummarySchema) });

export const PlanViewSchema = PlanSummarySchema.extend({
  versions: z.array(z.object({ ...versionSummary, channels: z.array(PlannedChannelSchema) })),
});
export type PlanView = z.infer<typeof PlanViewSchema>;

export const PlanProposalQuery = z.object({
  raster: z.enum(['STD', 'HRC', 'IRC', '8 MHz']),
  modulation: ModulationSchema.default('qam256'),
  lowMhz: z.coerce.number().min(5).max(1800).default(54),
  highMhz: z.coerce.number().min(5).max(1800).default(1002),
});
/** Every channel of a raster between two frequencies, to take services and gaps into. */
export const PlanProposalSchema = z.object({ channels: z.array(PlannedChannelSchema) });
export type PlanProposal = z.infer<typeof PlanProposalSchema>;

export const ServiceQuery = z.object({ search: z.string().trim().min(1).max(100) });

/** Where a programme is carried in the versions now in force: the viewer's number beside the RF channel. */
export const ServiceHitsSchema = z.object({
  hits: z.array(
    z.object({
      planId: z.number(),
      plan: z.string(),
      channel: z.string(),
      centreMhz: z.number(),
      modulation: ModulationSchema,
      services: z.array(ServiceSchema),
    }),
  ),
});
export type ServiceHits = z.infer<typeof ServiceHitsSchema>;
