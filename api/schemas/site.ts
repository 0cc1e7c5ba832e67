import { z } from '@hono/zod-openapi';
import {
  BreachSchema,
  FindingSchema,
  Instant,
  ModulationSchema,
  PointKindSchema,
  ServiceSchema,
  VerdictSchema,
} from './common.ts';
import { FleetRowSchema } from './fleet.ts';
import { OverdueSince } from './instruments.ts';
import { MarkedWindowSchema } from './maintenance.ts';
import { AgentSchema, TroubleSchema } from './silence.ts';

export const LatestReadingSchema = z.object({
  at: Instant,
  instrument: z.string(),
  levelDbmv: z.number().nullable(),
  tiltDb: z.number().nullable(),
  flatnessDb: z.number().nullable(),
  worstMerMarginDb: z.number().nullable(),
  worstMerChannel: z.string().nullable(),
  levelDevDb: z.number().nullable(),
  tiltDevDb: z.number().nullable(),
  merDevDb: z.number().nullable(),
  ambientC: z.number().nullable(),
  channels: z.number(),
  lostChannels: z.array(z.string()),
  /** People were at work on the plant: it is kept and not judged. */
  inMaintenance: z.boolean(),
  calibrationOverdueSince: OverdueSince,
  breaches: z.array(BreachSchema),
});

export const PointViewSchema = z.object({
  pointId: z.number(),
  name: z.string(),
  label: z.string(),
  kind: PointKindSchema,
  fedBy: z.number().nullable(),
  hopNote: z.string(),
  outlets: z.number(),
  /** Steps below the handoff. */
  depth: z.number(),
  verdict: VerdictSchema,
  limitSet: z.object({ id: z.string(), name: z.string(), source: z.string() }),
  baselineVersion: z.number().nullable(),
  latest: LatestReadingSchema.nullable(),
});
export type PointView = z.infer<typeof PointViewSchema>;

/** Everything the site page needs before a point is opened; points come in tree order from the handoff down. */
export const SiteViewSchema = z.object({
  site: FleetRowSchema.omit({ rank: true }).extend({
    address: z.string(),
    contact: z.string(),
    accessNotes: z.string(),
    planId: z.number().nullable(),
    planName: z.string().nullable(),
  }),
  points: z.array(PointViewSchema),
  /** Open ones first, newest first; closed ones of the last 90 days after them. */
  findings: z.array(FindingSchema),
  /** What is wrong with the coming of its sweeps, the gravest first. */
  troubles: z.array(TroubleSchema),
  /** Agents that have reported, the latest first. */
  agents: z.array(AgentSchema),
  /** Maintenance in progress and of the next seven days, earliest first. */
  maintenance: z.array(MarkedWindowSchema),
});
export type SiteView = z.infer<typeof SiteViewSchema>;

/** A straight level line across the band. */
export const TiltLineSchema = z.object({
  lowMhz: z.number(),
  highMhz: z.number(),
  levelLowDbmv: z.number(),
  levelHighDbmv: z.number(),
  tiltDb: z.number(),
});

export const BandChannelSchema = z.object({
  freqMhz: z.number(),
  /** `left-plan`: in the baseline and in the plan of that time, and no longer in the plan in force. */
  standing: z.enum(['planned', 'left-plan', 'outside-plan']),
  /** When it left the plan; null unless it did. */
  leftPlanAt: Instant.nullable(),
  /** RF channel by the plan in force, or by the plan that it left; null for a carrier outside the plan. */
  channel: z.string().nullable(),
  modulation: ModulationSchema.nullable(),
  services: z.array(ServiceSchema),
  thenLevelDbmv: z.number().nullable(),
  thenSpreadDb: z.number().nullable(),
  nowLevelDbmv: z.number().nullable(),
  deviationDb: z.number().nullable(),
  thenMerDb: z.number().nullable(),
  nowMerDb: z.number().nullable(),
  nowCnrDb: z.number().nullable(),
  /** MER or CNR less what the limit set asks for this modulation. */
  marginDb: z.number().nullable(),
  lost: z.boolean(),
  levelMinDbmv: z.number().nullable(),
  levelMaxDbmv: z.number().nullable(),
});

/** Then and now across frequency at one point. */
export const BandViewSchema = z.object({
  pointId: z.number(),
  now: z
    .object({
      at: Instant,
      instrument: z.string(),
      /** Sweeps of the day that begins at `at`, UTC, where only their medians are left; null for a sweep itself. */
      medianOf: z.number().nullable(),
      /** The maintenance window that it was read in; null when in none. */
      maintenance: MarkedWindowSchema.nullable(),
      calibrationOverdueSince: OverdueSince,
    })
    .nullable(),
  baseline: z
    .object({
      version: z.number(),
      fromAt: Instant,
      toAt: Instant,
      sweeps: z.number(),
      acceptedBy: z.string(),
      acceptedAt: Instant,
      exceptionNote: z.string().nullable(),
    })
    .nullable(),
  channels: z.array(BandChannelSchema),
  thenLine: TiltLineSchema.nullable(),
  nowLine: TiltLineSchema.nullable(),
  limitSet: z.object({ id: z.string(), name: z.string(), source: z.string() }),
  breaches: z.array(BreachSchema),
});
export type BandView = z.infer<typeof BandViewSchema>;

export const BandQuery = z.object({
  /** Shows the newest sweep at or before this moment; now when absent. */
  at: Instant.optional(),
});

export const HistoryQuery = z.object({
  from: Instant.optional(),
  to: Instant.optional(),
});

const Window = z.object({
  min: z.number().nullable(),
  target: z.number().nullable(),
  max: z.number().nullable(),
});

/** Columns over time at one point, parallel to `times`. */
export const HistoryViewSchema = z.object({
  pointId: z.number(),
  resolution: z.enum(['sweep', 'hour']),
  /** Seconds since 1970-01-01 UTC, rising. */
  times: z.array(z.number()),
  levelDbmv: z.array(z.number().nullable()),
  tiltDb: z.array(z.number().nullable()),
  flatnessDb: z.array(z.number().nullable()),
  merMarginDb: z.array(z.number().nullable()),
  ambientC: z.array(z.number().nullable()),
  baselines: z.array(
    z.object({
      version: z.number(),
      effectiveFrom: Instant,
      levelDbmv: z.number(),
      tiltDb: z.number(),
      flatnessDb: z.number(),
      merMarginDb: z.number().nullable(),
    }),
  ),
  limits: z.object({ level: Window, tilt: Window, flatness: Window, merMargin: Window }),
  findings: z.array(FindingSchema),
  /** Maintenance windows that touch the span: what was read inside is kept and not judged. */
  maintenance: z.array(MarkedWindowSchema),
  /** Things that people did and that are not faults. */
  events: z.array(
    z.object({
      at: Instant,
      kind: z.enum(['plan', 'baseline', 'instrument', 'calibration']),
      text: z.string(),
    }),
  ),
});
export type HistoryView = z.infer<typeof HistoryViewSchema>;
