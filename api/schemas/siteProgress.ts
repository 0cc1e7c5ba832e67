import { z } from '@hono/zod-openapi';
import { SETUP_STEPS } from '../setup/stepNames.ts';
import { BreachSchema, Instant, PointKindSchema } from './common.ts';
import { ReadingWaySchema } from './readingWays.ts';

export const SetupStepSchema = z.enum(SETUP_STEPS);

export const PointProgressSchema = z.object({
  pointId: z.number(),
  name: z.string(),
  title: z.string(),
  kind: PointKindSchema,
  intervalS: z.number(),
  way: ReadingWaySchema.nullable(),
  limitSet: z.object({ name: z.string(), source: z.string() }),
  /** The newest sweep, held against plan and limits; null while nothing was heard. */
  heard: z
    .object({
      at: Instant,
      instrument: z.string(),
      /** Carriers with a level, and those looked for in vain. */
      found: z.number(),
      lost: z.number(),
      /** Found where the plan has no channel; null without a plan. */
      outsidePlan: z.number().nullable(),
      levelDbmv: z.number().nullable(),
      tiltDb: z.number().nullable(),
      flatnessDb: z.number().nullable(),
      worstMargin: z.object({ marginDb: z.number(), channel: z.string().nullable() }).nullable(),
      breaches: z.array(BreachSchema),
    })
    .nullable(),
  /** Sweeps so far, counted no further than a baseline asks for. */
  sweeps: z.number(),
  baseline: z
    .object({
      version: z.number(),
      acceptedBy: z.string(),
      acceptedAt: Instant,
      exceptionNote: z.string().nullable(),
    })
    .nullable(),
});
export type PointProgress = z.infer<typeof PointProgressSchema>;

/** How far the set-up of a site has come, from what is in the database. */
export const SiteProgressSchema = z.object({
  siteId: z.number(),
  steps: z.array(
    z.object({
      step: SetupStepSchema,
      done: z.boolean(),
      /** What is still to be done, a sentence each. */
      missing: z.array(z.string()),
      /** Good to have; nothing waits for it. */
      advice: z.array(z.string()),
    }),
  ),
  points: z.array(PointProgressSchema),
  /** Sweeps that a baseline takes at least. */
  leastSweeps: z.number(),
});
export type SiteProgress = z.infer<typeof SiteProgressSchema>;
