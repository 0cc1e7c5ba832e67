import { z } from '@hono/zod-openapi';
import { MODULATIONS } from '../../ingest/plan/channelPlan.ts';
import { POINT_KINDS } from '../../ingest/store/schema.ts';
import { LIMITED_QUANTITIES } from '../limits/limitSet.ts';
import { CauseSchema } from './cause.ts';

/** Times travel as ISO 8601 in UTC; web shows them in the site's zone. */
export const Instant = z.iso.datetime();
export const ModulationSchema = z.enum(MODULATIONS);
export const PointKindSchema = z.enum(POINT_KINDS);
export const VerdictSchema = z.enum(['steady', 'watch', 'act', 'silent', 'no-baseline']);
export const SideSchema = z.enum(['provider', 'building', 'unsure']);
export type Verdict = z.infer<typeof VerdictSchema>;
export type Side = z.infer<typeof SideSchema>;

export const ServiceSchema = z.object({ number: z.string(), name: z.string() });

/** One breach of one limit by the latest reading. */
export const BreachSchema = z.object({
  /** `presence`: a channel of the plan that was not found. */
  quantity: z.enum([...LIMITED_QUANTITIES, 'presence']),
  channel: z.string().nullable(),
  freqMhz: z.number().nullable(),
  value: z.number(),
  limit: z.string(),
  unit: z.string(),
  source: z.string(),
  effect: z.enum(['service', 'agreed']),
});
export type BreachView = z.infer<typeof BreachSchema>;

/** A part between two points by their titles; `from` is null at the handoff, where the provider's side ends. */
const HopSchema = z.object({ from: z.string().nullable(), to: z.string() });

/** What the engine concluded about one point, in numbers and in one sentence. */
export const FindingSchema = z.object({
  /** One event gives a finding at each point that shows it. */
  event: z.number(),
  pointId: z.number(),
  pointName: z.string(),
  kind: z.string(),
  metric: z.string(),
  /** How a change of level lies across the band; null where that can't be told. */
  shape: z.enum(['flat', 'cable', 'low-end']).nullable(),
  sentence: z.string(),
  detectedAt: Instant,
  onsetAt: Instant,
  onsetLowAt: Instant,
  onsetHighAt: Instant,
  sizeDb: z.number(),
  sizeLowDb: z.number(),
  sizeHighDb: z.number(),
  slopeDbPerDay: z.number().nullable(),
  slopeLowDbPerDay: z.number().nullable(),
  slopeHighDbPerDay: z.number().nullable(),
  daysToLimit: z.object({ p10: z.number(), p50: z.number(), p90: z.number() }).nullable(),
  limitName: z.string().nullable(),
  closedAt: Instant.nullable(),
  side: SideSchema,
  /** The hop in which the change begins. */
  hop: HopSchema,
  /** Other hops that explain what was seen almost as well. */
  alsoPossible: z.array(HopSchema),
  /** The point upstream whose finding explains this one, if any. */
  explainedBy: z.number().nullable(),
  /** Real, but too small to act on: its site isn't watched for it. */
  withinFloor: z.boolean(),
  /** The instrument that it rests on was out of calibration, since then; null when it wasn't, or nobody knows. */
  overdueInstrument: z.object({ name: z.string(), since: Instant }).nullable(),
  /** Why, most likely first; empty where another finding explains this one. */
  causes: z.array(CauseSchema),
});
export type FindingView = z.infer<typeof FindingSchema>;
