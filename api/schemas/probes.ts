import { z } from '@hono/zod-openapi';
import { AUTH_PROTOCOLS, PRIV_PROTOCOLS } from '../../ingest/probe/modem/snmpTarget.ts';
import { cronFault } from '../../ingest/schedule/cronFault.ts';
import { Instant } from './common.ts';
import { HttpSecretsSchema, HttpSettingsSchema } from './httpProbe.ts';

const Id = z.number().int().positive();

/** A name or address without scheme, port or path. */
const Host = z
  .string()
  .trim()
  .min(1)
  .max(253)
  .regex(/^[A-Za-z0-9._:-]+$/, 'must be a name or an IP address, such as "192.0.2.10"');

const Secret = z.string().max(256);

export const ModemSettingsSchema = z.object({
  host: Host,
  port: z.number().int().min(1).max(65_535).default(161),
  /** What sweeps call the modem; null asks it for its serial number. */
  instrument: z.string().trim().min(1).max(80).nullable().default(null),
  access: z.discriminatedUnion('version', [
    z.object({ version: z.literal('2c') }),
    z
      .object({
        version: z.literal('3'),
        user: z.string().trim().min(1).max(64),
        auth: z.enum(AUTH_PROTOCOLS).nullable().default(null),
        priv: z.enum(PRIV_PROTOCOLS).nullable().default(null),
      })
      .refine(({ auth, priv }) => auth !== null || priv === null, {
        path: ['auth'],
        error: 'is missing: privacy needs authentication as well',
      }),
  ]),
});
export type ModemSettings = z.infer<typeof ModemSettingsSchema>;

export const ProbeScheduleSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('every'), intervalS: z.number().int().min(30).max(86_400) }),
  z.object({
    kind: z.literal('cron'),
    expression: z
      .string()
      .trim()
      .min(1)
      .max(120)
      .superRefine((expression, context) => {
        const fault = cronFault(expression);
        if (fault === null) return;
        context.addIssue({ code: 'custom', message: `${fault}: give five fields, such as "*/15 * * * *"` });
      }),
  }),
]);

const probeFields = {
  pointId: Id,
  /** What people call it, such as "modem in the riser cupboard". */
  name: z.string().trim().min(1).max(120),
  schedule: ProbeScheduleSchema,
  /** No answer by then is a failed try. */
  timeoutS: z.number().int().min(1).max(120),
  /** Least rest of the instrument between two readings. */
  floorS: z.number().int().min(1).max(3600),
  enabled: z.boolean(),
};

/** Kept sealed; never answered again. */
export const ModemSecretsSchema = z.object({
  community: Secret.optional(),
  authPassword: Secret.optional(),
  privPassword: Secret.optional(),
});

const newProbeFields = {
  ...probeFields,
  timeoutS: probeFields.timeoutS.default(30),
  floorS: probeFields.floorS.default(10),
  enabled: probeFields.enabled.default(true),
};

export const NewProbeSchema = z.discriminatedUnion('kind', [
  z.object({
    ...newProbeFields,
    kind: z.literal('modem'),
    settings: ModemSettingsSchema,
    secrets: ModemSecretsSchema.default({}),
  }),
  z.object({
    ...newProbeFields,
    kind: z.literal('http'),
    settings: HttpSettingsSchema,
    secrets: HttpSecretsSchema.default({}),
  }),
]);
export type NewProbe = z.infer<typeof NewProbeSchema>;
export type NewProbeInput = z.input<typeof NewProbeSchema>;

/**
 * The kind stays; settings and secrets are those of the kind. `secrets` left out keeps those there are, as long as the probe stays at
 * its address.
 */
export const ChangeProbeSchema = z
  .object({
    ...probeFields,
    settings: z.record(z.string(), z.unknown()),
    secrets: z.record(z.string(), z.unknown()),
  })
  .partial();
export type ChangeProbe = z.infer<typeof ChangeProbeSchema>;

export const PROBE_STANDINGS = ['failing', 'late', 'unread', 'sound', 'paused'] as const;
export const ProbeStandingSchema = z.enum(PROBE_STANDINGS);
export type ProbeStanding = z.infer<typeof ProbeStandingSchema>;

const ProbeFaultSchema = z.object({ code: z.string(), message: z.string(), action: z.string() });
export type ProbeFault = z.infer<typeof ProbeFaultSchema>;

/** How a probe is doing. */
const doing = {
  /**
   * `failing`: its last run failed. `late`: due for more than a minute and not read, so no server keeps up with it. `unread`: new, not
   * due yet. `sound`: its last run brought a sweep.
   */
  standing: ProbeStandingSchema,
  underWay: z.boolean(),
  /** A reading out of turn was asked for and is not over. */
  askedAt: Instant.nullable(),
  dueAt: Instant.nullable(),
  lastRunAt: Instant.nullable(),
  lastSuccessAt: Instant.nullable(),
  /** Failed runs in a row. */
  failures: z.number(),
  lastError: ProbeFaultSchema.nullable(),
  /** Over the last 30 days, runs held by maintenance windows left out. */
  runs: z.number(),
  failed: z.number(),
};

const viewFields = {
  probeId: z.number(),
  ...probeFields,
  /** The point's title. */
  point: z.string(),
  createdBy: z.string(),
  createdAt: Instant,
  ...doing,
};

export const ProbeViewSchema = z.discriminatedUnion('kind', [
  z.object({ ...viewFields, kind: z.literal('modem'), settings: ModemSettingsSchema }),
  z.object({ ...viewFields, kind: z.literal('http'), settings: HttpSettingsSchema }),
]);
export type ProbeView = z.infer<typeof ProbeViewSchema>;

export const SiteProbesSchema = z.object({ probes: z.array(ProbeViewSchema) });
export type SiteProbes = z.infer<typeof SiteProbesSchema>;
export const ProbeAddedSchema = z.object({
  probeId: z.number(),
  /** Its first reading was asked for then. */
  askedAt: Instant,
});
export type ProbeAdded = z.infer<typeof ProbeAddedSchema>;

export const ReadingAskedSchema = z.object({
  /** The run that answers ends after this. */
  askedAt: Instant,
});
export type ReadingAsked = z.infer<typeof ReadingAskedSchema>;

export const ProbeRunSchema = z.object({
  runId: z.number(),
  dueAt: Instant.nullable(),
  startedAt: Instant,
  endedAt: Instant,
  /** `held`: a maintenance window was in force, and nothing was read. */
  outcome: z.enum(['read', 'failed', 'held']),
  tries: z.number(),
  askedBy: z.string().nullable(),
  error: ProbeFaultSchema.nullable(),
  sweeps: z.number(),
  /** What was read, in words; of readings that somebody asked for. */
  told: z.string().nullable(),
});
export type ProbeRunView = z.infer<typeof ProbeRunSchema>;

export const ProbeRunsQuery = z.object({
  /** Runs that began before this one. */
  before: z.coerce.number().int().positive().optional(),
  limit: z.coerce.number().int().min(1).max(500).default(50),
});
export const ProbeRunsSchema = z.object({
  site: z.object({ name: z.string(), timeZone: z.string() }),
  probe: ProbeViewSchema,
  runs: z.array(ProbeRunSchema),
});
export type ProbeRuns = z.infer<typeof ProbeRunsSchema>;

export const ProbeFleetQuery = z.object({
  /** Words to find in the names of probe, site and point, the town or the address. */
  search: z.string().max(200).default(''),
  standing: ProbeStandingSchema.optional(),
  offset: z.coerce.number().int().min(0).max(1_000_000).default(0),
  limit: z.coerce.number().int().min(1).max(200).default(100),
});
export type ProbeFleetQuestion = z.infer<typeof ProbeFleetQuery>;

export const ProbeFleetRowSchema = z.object({
  siteId: z.number(),
  probeId: z.number(),
  pointId: z.number(),
  name: z.string(),
  site: z.string(),
  town: z.string(),
  point: z.string(),
  timeZone: z.string(),
  /** Where it is read: a modem's host, or a web address. */
  address: z.string(),
  schedule: ProbeScheduleSchema,
  ...doing,
});
export type ProbeFleetRow = z.infer<typeof ProbeFleetRowSchema>;

export const ProbeFleetSchema = z.object({
  /** All probes, whatever was searched for. */
  probes: z.number(),
  /** Those that match the search, by standing. */
  counts: z.record(ProbeStandingSchema, z.number()),
  total: z.number(),
  rows: z.array(ProbeFleetRowSchema),
});
export type ProbeFleet = z.infer<typeof ProbeFleetSchema>;
