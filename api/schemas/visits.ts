import { z } from '@hono/zod-openapi';
import { ALERT_STATES, SEVERITIES, VISIT_OUTCOMES } from '../../ingest/store/schema.ts';
import { REPAIR_STATES } from '../visits/repairStanding.ts';
import { CauseSchema } from './cause.ts';
import { Instant, PointKindSchema, SideSchema } from './common.ts';
import { isTimeZone } from './siteSetup.ts';

const Latitude = z.number().min(-90).max(90);
const Longitude = z.number().min(-180).max(180);
const Text = (longest: number) => z.string().trim().max(longest).default('');
const Id = z.number().int().positive();

export const PlanQuestion = z.object({
  from: Instant,
  to: Instant,
  startLatitude: z.coerce.number().pipe(Latitude).optional(),
  startLongitude: z.coerce.number().pipe(Longitude).optional(),
  /** Sites to leave out, "4,17". */
  without: z
    .string()
    .regex(/^\d{1,12}(,\d{1,12})*$/, 'must be numbers of sites with commas between, such as "4,17"')
    .optional(),
});

const PlannedAlertSchema = z.object({
  alertId: z.number(),
  title: z.string(),
  sentence: z.string(),
  severity: z.enum(SEVERITIES),
  side: SideSchema.nullable(),
  minutes: z.number(),
});

const PlannedSiteSchema = z.object({
  siteId: z.number(),
  name: z.string(),
  town: z.string(),
  timeZone: z.string(),
  latitude: z.number().nullable(),
  longitude: z.number().nullable(),
  /** Outlet-days of unacceptable service expected over the next 14 days. */
  outletDays: z.number(),
  /** At the building: access and every task. */
  minutes: z.number(),
  alerts: z.array(PlannedAlertSchema),
});
export type PlannedSite = z.infer<typeof PlannedSiteSchema>;

export const ProposedStopSchema = PlannedSiteSchema.extend({
  driveMinutes: z.number(),
  arriveAt: Instant,
  leaveAt: Instant,
  savedOutletDays: z.number(),
});
export type ProposedStop = z.infer<typeof ProposedStopSchema>;

export const LEFT_REASONS = [
  'no-room',
  'left-out',
  'planned-already',
  'waiting-for-sweeps',
  'provider-side',
] as const;

export const DayProposalSchema = z.object({
  stops: z.array(ProposedStopSchema),
  backMinutes: z.number(),
  backAt: Instant.nullable(),
  savedOutletDays: z.number(),
  /** Sites with open alerts that the day doesn't hold, and why. */
  left: z.array(PlannedSiteSchema.extend({ reason: z.enum(LEFT_REASONS) })),
});
export type DayProposal = z.infer<typeof DayProposalSchema>;

export const NewVisitDaySchema = z
  .object({
    technician: z.string().trim().min(1).max(120),
    startName: Text(200),
    startLatitude: Latitude.nullable().default(null),
    startLongitude: Longitude.nullable().default(null),
    /** The zone that the day's hours are told in. */
    timeZone: z.string().refine(isTimeZone, 'must be an IANA time zone such as "America/Chicago"'),
    from: Instant,
    to: Instant,
    /** In the order of the day. */
    siteIds: z.array(Id).min(1).max(30),
  })
  .refine(({ siteIds }) => new Set(siteIds).size === siteIds.length, {
    path: ['siteIds'],
    message: 'must name each site once',
  });
export type NewVisitDay = z.input<typeof NewVisitDaySchema>;

export const KeptVisitDaySchema = z.object({ dayId: z.number() });

const ReadingSchema = z.object({
  at: Instant,
  levelDbmv: z.number().nullable(),
  levelDevDb: z.number().nullable(),
  tiltDb: z.number().nullable(),
  merMarginDb: z.number().nullable(),
});
export type ReadingView = z.infer<typeof ReadingSchema>;

const TypedReadings = {
  /** RF channel that the technician's own readings were taken on. */
  readChannel: Text(20),
  levelBeforeDbmv: z.number().min(-80).max(80).nullable().default(null),
  levelAfterDbmv: z.number().min(-80).max(80).nullable().default(null),
  merBeforeDb: z.number().min(0).max(80).nullable().default(null),
  merAfterDb: z.number().min(0).max(80).nullable().default(null),
};

export const NewVisitResultSchema = z.object({
  /** Made on the device, so that a result sent twice is kept once. */
  resultId: z.uuid(),
  visitId: Id.nullable().default(null),
  alertId: Id.nullable().default(null),
  pointId: Id,
  outcome: z.enum(VISIT_OUTCOMES),
  found: Text(2000),
  done: Text(2000),
  parts: Text(1000),
  ...TypedReadings,
  beganAt: Instant,
  doneAt: Instant,
});
export type NewVisitResult = z.input<typeof NewVisitResultSchema>;

export const VisitResultSchema = z.object({
  siteId: z.number(),
  resultId: z.string(),
  siteName: z.string(),
  timeZone: z.string(),
  visitId: z.number().nullable(),
  alertId: z.number().nullable(),
  alertTitle: z.string().nullable(),
  pointId: z.number(),
  pointName: z.string(),
  outcome: z.enum(VISIT_OUTCOMES),
  found: z.string(),
  done: z.string(),
  parts: z.string(),
  readChannel: z.string(),
  levelBeforeDbmv: z.number().nullable(),
  levelAfterDbmv: z.number().nullable(),
  merBeforeDb: z.number().nullable(),
  merAfterDb: z.number().nullable(),
  beganAt: Instant,
  doneAt: Instant,
  recordedBy: z.string(),
  /** The last hour of sweeps before the work, and the newest whole hour after it. */
  sweptBefore: ReadingSchema.nullable(),
  sweptAfter: ReadingSchema.nullable(),
  standing: z.object({
    state: z.enum(REPAIR_STATES),
    at: Instant.nullable(),
    hoursRead: z.number(),
    /** Sweeps that a new baseline would be made of, where one is proposed. */
    baselineFrom: Instant.nullable(),
    baselineTo: Instant.nullable(),
  }),
});
export type VisitResultView = z.infer<typeof VisitResultSchema>;
export const VisitResultsSchema = z.object({ results: z.array(VisitResultSchema) });

export const VisitDaySummarySchema = z.object({
  dayId: z.number(),
  technician: z.string(),
  timeZone: z.string(),
  fromAt: Instant,
  toAt: Instant,
  cancelledBy: z.string().nullable(),
  sites: z.array(z.object({ siteId: z.number(), name: z.string() })),
  results: z.number(),
});
export type VisitDaySummary = z.infer<typeof VisitDaySummarySchema>;
export const VisitDaysSchema = z.object({ days: z.array(VisitDaySummarySchema) });

/** What to do at one point for one alert. */
const TaskSchema = z.object({
  alertId: z.number(),
  title: z.string(),
  sentence: z.string(),
  severity: z.enum(SEVERITIES),
  state: z.enum(ALERT_STATES),
  side: SideSchema.nullable(),
  doFirst: z.string(),
  /** Point that ends the hop in which the cause lies: results are recorded there. */
  pointId: z.number().nullable(),
  /** Measure here first, then there: the change lies between. */
  hopFrom: z.string().nullable(),
  hopTo: z.string().nullable(),
  hopNote: z.string(),
  /** Most likely first. */
  causes: z.array(CauseSchema),
});
export type TaskView = z.infer<typeof TaskSchema>;

const SheetPointSchema = z.object({
  pointId: z.number(),
  title: z.string(),
  kind: PointKindSchema,
  depth: z.number(),
  latest: ReadingSchema.nullable(),
});

export const SheetStopSchema = z.object({
  visitId: z.number(),
  siteId: z.number(),
  name: z.string(),
  address: z.string(),
  town: z.string(),
  timeZone: z.string(),
  contact: z.string(),
  accessNotes: z.string(),
  latitude: z.number().nullable(),
  longitude: z.number().nullable(),
  driveMinutes: z.number(),
  arriveAt: Instant,
  leaveAt: Instant,
  savedOutletDays: z.number(),
  tasks: z.array(TaskSchema),
  points: z.array(SheetPointSchema),
  results: z.array(VisitResultSchema),
});
export type SheetStop = z.infer<typeof SheetStopSchema>;

/** All that a technician needs along, in one answer, so that it can be kept on the device. */
export const VisitDaySchema = z.object({
  dayId: z.number(),
  technician: z.string(),
  startName: z.string(),
  timeZone: z.string(),
  fromAt: Instant,
  toAt: Instant,
  backMinutes: z.number(),
  cancelledBy: z.string().nullable(),
  preparedAt: Instant,
  stops: z.array(SheetStopSchema),
});
export type VisitDay = z.infer<typeof VisitDaySchema>;
