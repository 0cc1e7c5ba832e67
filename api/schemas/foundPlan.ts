import { z } from '@hono/zod-openapi';
import { Instant } from './common.ts';
import { PlannedChannelSchema, RasterSchema } from './plans.ts';

export const SurenessSchema = z.enum(['sure', 'likely', 'guess']);

const FoundChannelSchema = PlannedChannelSchema.extend({
  carrierMhz: z.number(),
  modulationIs: SurenessSchema,
  /** What tells the modulation, in words. */
  why: z.string(),
});

/** The channel plan that the newest sweeps of a point speak for; nothing is kept by looking at it. */
export const FoundPlanSchema = z.object({
  pointId: z.number(),
  sweeps: z.number(),
  instruments: z.array(z.string()),
  newestAt: Instant,
  /** The first sweep of the site: a plan in force from here judges all of them. */
  firstAt: Instant,
  raster: RasterSchema,
  rasterIs: SurenessSchema,
  /** Why this raster, in a sentence. */
  rasterWhy: z.string(),
  carriers: z.number(),
  matched: z.number(),
  channels: z.array(FoundChannelSchema),
  missing: z.array(FoundChannelSchema.extend({ how: z.enum(['lost', 'empty']) })),
  outsideMhz: z.array(z.number()),
  /** Plans that are there already and come close, nearest first. */
  known: z.array(
    z.object({
      planId: z.number(),
      name: z.string(),
      /** Carriers found that are channels of the plan, and channels of the plan that were not found. */
      found: z.number(),
      notFound: z.array(z.string()),
    }),
  ),
});
export type FoundPlan = z.infer<typeof FoundPlanSchema>;
