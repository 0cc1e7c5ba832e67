import { z } from '@hono/zod-openapi';
import { LIMITED_QUANTITIES } from '../limits/limitSet.ts';
import { Instant, ModulationSchema, PointKindSchema } from './common.ts';

export const LimitSchema = z.object({
  quantity: z.enum(LIMITED_QUANTITIES),
  /** Null: for all modulations. */
  modulation: ModulationSchema.nullable(),
  min: z.number().nullable(),
  target: z.number().nullable(),
  max: z.number().nullable(),
  /** A maximum that depends on the highest channel, in place of `max`. */
  maxByTopMhz: z.array(z.object({ upToMhz: z.number(), max: z.number() })).nullable(),
  unit: z.enum(['dBmV', 'dB']),
  effect: z.enum(['service', 'agreed']),
  /** In words to show: "after …, to be confirmed against the current text" where that is so. */
  source: z.string(),
});
export type LimitView = z.infer<typeof LimitSchema>;

export const LimitSetSchema = z.object({
  id: z.string(),
  name: z.string(),
  source: z.string(),
  defaultFor: z.array(PointKindSchema),
  limits: z.array(LimitSchema),
});
export type LimitSetView = z.infer<typeof LimitSetSchema>;

export const LimitChangeSchema = z
  .object({
    quantity: z.enum(LIMITED_QUANTITIES),
    modulation: ModulationSchema.optional(),
    min: z.number().min(-100).max(200).nullable().optional(),
    target: z.number().min(-100).max(200).nullable().optional(),
    max: z.number().min(-100).max(200).nullable().optional(),
  })
  .refine(isOrdered, 'min, target and max must not fall');

const choiceFields = {
  setId: z.string().min(1).max(80),
  changes: z.array(LimitChangeSchema).max(50),
  /** Kept for good and shown as the source of what was changed. */
  reason: z.string().trim().min(1, 'a reason is needed: it is kept beside the choice').max(500),
};

export const FleetLimitChoiceSchema = z.object({
  kind: PointKindSchema,
  ...choiceFields,
  changes: choiceFields.changes.default([]),
});
export type FleetLimitChoiceInput = z.input<typeof FleetLimitChoiceSchema>;

/** Either `kind`, for all points of it at the site, or `pointId`. */
export const SiteLimitChoiceSchema = z
  .object({
    kind: PointKindSchema.nullable().default(null),
    pointId: z.number().int().positive().nullable().default(null),
    ...choiceFields,
    changes: choiceFields.changes.default([]),
  })
  .refine(({ kind, pointId }) => (kind === null) !== (pointId === null), {
    message: 'give either kind or pointId',
    path: ['kind'],
  });
export type SiteLimitChoiceInput = z.input<typeof SiteLimitChoiceSchema>;

export const LimitChoiceSchema = z.object({
  choiceId: z.number(),
  kind: PointKindSchema.nullable(),
  pointId: z.number().nullable(),
  ...choiceFields,
  reason: z.string(),
  chosenBy: z.string(),
  chosenAt: Instant,
});
export type LimitChoiceView = z.infer<typeof LimitChoiceSchema>;

export const FleetLimitsSchema = z.object({
  sets: z.array(LimitSetSchema),
  /** Newest first; the newest of a kind is in force where no site or point has one of its own. */
  choices: z.array(LimitChoiceSchema),
});
export type FleetLimits = z.infer<typeof FleetLimitsSchema>;

export const SiteLimitsSchema = z.object({
  points: z.array(
    z.object({
      pointId: z.number(),
      /** What people call it: its label, else its name in sweeps. */
      title: z.string(),
      kind: PointKindSchema,
      set: LimitSetSchema,
      /** How far the choice in force reaches; `default`: nobody chose. */
      scope: z.enum(['point', 'site', 'fleet', 'default']),
      /** Why this set, in one sentence. */
      why: z.string(),
    }),
  ),
  /** The site's own, newest first. */
  choices: z.array(LimitChoiceSchema),
});
export type SiteLimits = z.infer<typeof SiteLimitsSchema>;

function isOrdered({
  min,
  target,
  max,
}: {
  min?: number | null | undefined;
  target?: number | null | undefined;
  max?: number | null | undefined;
}): boolean {
  const given = [min, target, max].filter((value) => value != null);
  return given.every((value, index) => index === 0 || value >= given[index - 1]!);
}
