import { z } from '@hono/zod-openapi';
import { Instant, PointKindSchema } from './common.ts';

const Id = z.number().int().positive();
const Text = (longest: number) => z.string().trim().max(longest);

const siteFields = {
  name: Text(120).min(1),
  town: Text(120),
  address: Text(300),
  /** IANA zone, such as "America/Chicago". */
  timeZone: z.string().refine(isTimeZone, 'must be an IANA time zone such as "America/Chicago"'),
  latitude: z.number().min(-90).max(90).nullable(),
  longitude: z.number().min(-180).max(180).nullable(),
  /** Outlets in the whole building. */
  outlets: z.number().int().min(0).max(1_000_000),
  providerId: Id.nullable(),
  planId: Id.nullable(),
  contact: Text(500),
  accessNotes: Text(2000),
};

export const NewSiteSchema = z.object({
  ...siteFields,
  town: siteFields.town.default(''),
  address: siteFields.address.default(''),
  latitude: siteFields.latitude.default(null),
  longitude: siteFields.longitude.default(null),
  providerId: siteFields.providerId.default(null),
  planId: siteFields.planId.default(null),
  contact: siteFields.contact.default(''),
  accessNotes: siteFields.accessNotes.default(''),
});
export type NewSiteInput = z.input<typeof NewSiteSchema>;

export const ChangeSiteSchema = z.object(siteFields).partial();
export type ChangeSite = z.infer<typeof ChangeSiteSchema>;

export const SiteSetupSchema = z.object({ siteId: z.number(), ...siteFields, createdAt: Instant });
export type SiteSetup = z.infer<typeof SiteSetupSchema>;

const pointFields = {
  /** What sweeps call the point: the contract's "point". */
  name: z
    .string()
    .regex(
      /^[\p{L}\p{N}][\p{L}\p{N} ._:/#-]{0,79}$/u,
      'must be 1 to 80 letters, digits, spaces or . _ : / # -, and begin with a letter or digit',
    ),
  label: Text(120),
  kind: PointKindSchema,
  /** The point upstream; null for the handoff, the root of the tree. */
  fedBy: Id.nullable(),
  /** Outlets that hang on this point and on no point below it. */
  outlets: z.number().int().min(0).max(1_000_000),
  /** Seconds between sweeps when all is well. */
  intervalS: z.number().int().min(10).max(2_592_000),
  /** Gear here holds its own output level and tilt while the input stays in its window. */
  correctsItself: z.boolean(),
  /** Half width of that window, dB. */
  correctionWindowDb: z.number().min(0).max(60).nullable(),
  /** What lies between this point and the one that feeds it. */
  hopNote: Text(500),
};

export const NewPointSchema = z.object({
  ...pointFields,
  label: pointFields.label.default(''),
  fedBy: pointFields.fedBy.default(null),
  outlets: pointFields.outlets.default(0),
  intervalS: pointFields.intervalS.default(900),
  correctsItself: pointFields.correctsItself.default(false),
  correctionWindowDb: pointFields.correctionWindowDb.default(null),
  hopNote: pointFields.hopNote.default(''),
});
export type NewPointInput = z.input<typeof NewPointSchema>;

/** Several points at once; each names its feeder, which may be one of them or one that is there. */
export const NewPointTreeSchema = z.object({
  points: z
    .array(NewPointSchema.extend({ fedBy: pointFields.name.nullable().default(null) }))
    .min(1)
    .max(500),
});
export type NewPointTreeInput = z.input<typeof NewPointTreeSchema>;

export const ChangePointSchema = z.object(pointFields).partial();
export type ChangePoint = z.infer<typeof ChangePointSchema>;

export const PointSetupSchema = z.object({
  pointId: z.number(),
  ...pointFields,
  createdAt: Instant,
  /** A point that has sweeps can be changed but not removed. */
  hasSweeps: z.boolean(),
});
export type PointSetup = z.infer<typeof PointSetupSchema>;

export const PointAddedSchema = z.object({ pointId: z.number() });

/** A site as the set-up page edits it; points in tree order from the handoff down. */
export const SiteSetupViewSchema = z.object({ site: SiteSetupSchema, points: z.array(PointSetupSchema) });
export type SiteSetupView = z.infer<typeof SiteSetupViewSchema>;

export const SiteListQuery = z.object({
  /** Words to find in name, town, address or provider; empty for all. */
  search: z.string().max(200).default(''),
  offset: z.coerce.number().int().min(0).max(1_000_000).default(0),
  limit: z.coerce.number().int().min(1).max(500).default(100),
});

export const SiteListSchema = z.object({
  total: z.number(),
  sites: z.array(
    z.object({
      siteId: z.number(),
      name: z.string(),
      town: z.string(),
      provider: z.string().nullable(),
      plan: z.string().nullable(),
      outlets: z.number(),
      points: z.number(),
      /** Keys that aren't revoked. */
      keys: z.number(),
      lastKeyUseAt: Instant.nullable(),
    }),
  ),
});
export type SiteList = z.infer<typeof SiteListSchema>;

export function isTimeZone(zone: string): boolean {
  try {
    return (
      new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone !== '' &&
      !/^[+-]/.test(zone)
    );
  } catch {
    return false;
  }
}
