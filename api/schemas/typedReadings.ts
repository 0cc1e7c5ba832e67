import { z } from '@hono/zod-openapi';
import { Instant, ModulationSchema, PointKindSchema } from './common.ts';

export const LEVEL_UNITS = ['dBmV', 'dBuV', 'dBm'] as const;
/** dBm at 75 Ω. */
export const LevelUnitSchema = z.enum(LEVEL_UNITS);
export type LevelUnit = z.infer<typeof LevelUnitSchema>;

const figure = (action: string) => z.number({ error: () => action }).nullable();

/** What was read on one channel. */
export const TypedReadingSchema = z.object({
  freqMhz: z.number({ error: () => 'give the centre of the channel in MHz' }),
  /** In the draft's own unit. */
  level: figure('give the level as a number'),
  merDb: figure('give the MER in dB'),
  cnrDb: figure('give the CNR in dB'),
  /** Looked for and not found. */
  lost: z.boolean().default(false),
});
export type TypedReading = z.infer<typeof TypedReadingSchema>;

/** Readings on their way from a meter's display to a sweep. */
export const TypedDraftSchema = z.object({
  /** What is printed on the meter, or what people call it. */
  instrument: z.string().max(80, { error: () => 'is too long: give at most 80 characters' }),
  levelUnit: LevelUnitSchema,
  ambientC: figure('give the temperature in °C'),
  readings: z
    .array(TypedReadingSchema)
    .max(60, { error: () => 'has more than 60 channels: a meter that sweeps so many can export them' }),
});
export type TypedDraft = z.infer<typeof TypedDraftSchema>;

export const TypedSweepSchema = TypedDraftSchema.extend({
  /** When the readings were taken: with instrument and point what makes the sweep the same one when it is sent again. */
  at: Instant,
});
export type TypedSweep = z.infer<typeof TypedSweepSchema>;

/** `changed`: far from the baseline. `outside`: beyond a limit. `unknown`: nothing to say yet; the sentence says why. */
const Verdict = z.enum(['good', 'changed', 'outside', 'unknown']);
export type TypedVerdictWord = z.infer<typeof Verdict>;

const Judged = z.object({ verdict: Verdict, value: z.string(), sentence: z.string() });

/** What the figures say, as far as they are typed. */
export const TypedVerdictSchema = z.object({
  level: Judged,
  tilt: Judged,
  mer: Judged,
  /** Parallel to the draft's readings. */
  readings: z.array(
    z.object({
      verdict: Verdict,
      /** What to look at; empty when there is nothing. */
      hint: z.string(),
    }),
  ),
});
export type TypedVerdict = z.infer<typeof TypedVerdictSchema>;

const ChannelOffer = z.object({
  channel: z.string(),
  freqMhz: z.number(),
  modulation: ModulationSchema,
  /** The baseline's, dBmV and dB; null where it holds none. */
  thenLevelDbmv: z.number().nullable(),
  thenMerDb: z.number().nullable(),
});
export type ChannelOffer = z.infer<typeof ChannelOffer>;

/** What the form needs before the first figure is typed. */
export const TypedFormSchema = z.object({
  site: z.object({ siteId: z.number(), name: z.string(), timeZone: z.string() }),
  point: z.object({ pointId: z.number(), name: z.string(), label: z.string(), kind: PointKindSchema }),
  /** Every channel that can be chosen, in rising frequency; empty without a plan and a baseline. */
  channels: z.array(ChannelOffer),
  /** Frequencies to begin with, from the bottom, the middle and the top of the band. */
  proposedMhz: z.array(z.number()),
  hasBaseline: z.boolean(),
  limitSet: z.object({ name: z.string(), source: z.string() }),
  /** What 0 dBmV is in each unit that a meter may show. */
  zeroDbmvIn: z.object({ dBmV: z.number(), dBuV: z.number(), dBm: z.number() }),
  /** Meters whose figures were typed at this site before, newest first. */
  instruments: z.array(z.string()),
});
export type TypedForm = z.infer<typeof TypedFormSchema>;

export const TypedSavedSchema = z.object({
  at: Instant,
  /** As the sweep names it. */
  instrument: z.string(),
  /** Whether this very sweep was stored before. */
  known: z.boolean(),
});
export type TypedSaved = z.infer<typeof TypedSavedSchema>;

export const TypedDraftsSchema = z.object({
  /** Wall clock of the server. */
  at: Instant,
  site: z.object({ siteId: z.number(), name: z.string(), timeZone: z.string() }),
  point: z.object({ pointId: z.number(), name: z.string(), label: z.string() }),
  /** Whoever typed last first. */
  drafts: z.array(
    z.object({
      name: z.string(),
      startedAt: Instant,
      updatedAt: Instant,
      /** Null until it is saved as a sweep. */
      savedAt: Instant.nullable(),
      draft: TypedDraftSchema,
      /** RF channel of each reading; null outside the plan. */
      channels: z.array(z.string().nullable()),
      verdict: TypedVerdictSchema,
    }),
  ),
});
export type TypedDrafts = z.infer<typeof TypedDraftsSchema>;
