import { z } from '@hono/zod-openapi';
import { BreachSchema, Instant, ModulationSchema } from './common.ts';

const LimitSetName = z.object({ id: z.string(), name: z.string(), source: z.string() });

/** The window of sweeps to build from; both ends belong to it. */
export const BaselineWindowQuery = z.object({ from: Instant, to: Instant });

/** An accepted reference, without its channels. */
export const BaselineVersionSchema = z.object({
  version: z.number(),
  /** Sweeps from here on are judged against this version. */
  effectiveFrom: Instant,
  fromAt: Instant,
  toAt: Instant,
  sweeps: z.number(),
  instruments: z.array(z.string()),
  levelDbmv: z.number(),
  tiltDb: z.number(),
  flatnessDb: z.number(),
  worstMerMarginDb: z.number().nullable(),
  ambientC: z.number().nullable(),
  /** What lay outside the limits when it was accepted; `exceptionNote` says why it was accepted all the same. */
  outside: z.array(BreachSchema),
  exceptionNote: z.string().nullable(),
  acceptedBy: z.string(),
  acceptedAt: Instant,
});
export type BaselineVersionView = z.infer<typeof BaselineVersionSchema>;

/** Newest version first. */
export const BaselineListSchema = z.object({ pointId: z.number(), versions: z.array(BaselineVersionSchema) });
export type BaselineListView = z.infer<typeof BaselineListSchema>;

/** What would be accepted: nothing is kept by looking at it. */
export const BaselineProposalSchema = z.object({
  pointId: z.number(),
  fromAt: Instant,
  toAt: Instant,
  sweeps: z.number(),
  instruments: z.array(z.string()),
  levelDbmv: z.number(),
  tiltDb: z.number(),
  flatnessDb: z.number(),
  worstMerMarginDb: z.number().nullable(),
  ambientC: z.number().nullable(),
  channels: z.array(
    z.object({
      freqMhz: z.number(),
      /** RF channel by the plan; null for a carrier outside the plan. */
      channel: z.string().nullable(),
      modulation: ModulationSchema.nullable(),
      levelDbmv: z.number().nullable(),
      levelSpreadDb: z.number().nullable(),
      merDb: z.number().nullable(),
      merSpreadDb: z.number().nullable(),
      cnrDb: z.number().nullable(),
    }),
  ),
  limitSet: LimitSetName,
  /** Empty when it may be accepted as it is; otherwise the acceptance needs an exception note. */
  outside: z.array(BreachSchema),
  /** Instruments that were out of calibration when they read in the window. */
  overdueInstruments: z.array(z.object({ name: z.string(), since: Instant })),
  /** Sweeps of it that were taken while people worked on the plant. */
  maintenanceSweeps: z.number(),
  /** RF channels of the plan that no sweep in the window looked for. */
  notLookedFor: z.array(z.string()),
  /** The version now in force, which this would take over from. */
  current: BaselineVersionSchema.nullable(),
});
export type BaselineProposalView = z.infer<typeof BaselineProposalSchema>;

export const AcceptBaselineBody = z.object({
  from: Instant,
  to: Instant,
  /** Sweeps from here on are judged against it; the start of the window when absent. */
  effectiveFrom: Instant.optional(),
  /** Why it is accepted although something lies outside the limits. */
  exceptionNote: z.string().trim().min(3).max(2000).optional(),
});
export type AcceptBaselineInput = z.infer<typeof AcceptBaselineBody>;
