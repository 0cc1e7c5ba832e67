import { z } from '@hono/zod-openapi';
import { Instant, SideSchema, VerdictSchema } from './common.ts';

export const FleetQuery = z.object({
  /** Words to find in site, town, provider; empty for all. */
  search: z.string().max(200).default(''),
  verdict: VerdictSchema.optional(),
  offset: z.coerce.number().int().min(0).max(1_000_000).default(0),
  limit: z.coerce.number().int().min(1).max(500).default(100),
});

export const FleetRowSchema = z.object({
  siteId: z.number(),
  rank: z.number(),
  name: z.string(),
  town: z.string(),
  provider: z.string().nullable(),
  outlets: z.number(),
  /** Expected outlet-days of unacceptable service over the next 14 days. */
  outletDays: z.number(),
  verdict: VerdictSchema,
  side: SideSchema.nullable(),
  sentence: z.string(),
  since: Instant.nullable(),
  daysToLimit: z.number().nullable(),
  lastSweepAt: Instant.nullable(),
  timeZone: z.string(),
  /** Alerts that stand at the site, those that are part of a provider's event among them. */
  alerts: z.number(),
  /** Change from baseline in each slice of the band at the site's worst point, dB; null where nothing is read. */
  strip: z.array(z.number().nullable()),
  /** Slices that changed beyond what the readings of their point scatter by. */
  stripChanged: z.array(z.number()),
  /** Slices in which a channel is lost. */
  stripLost: z.array(z.number()),
});
export type FleetRow = z.infer<typeof FleetRowSchema>;

export const FleetPageSchema = z.object({
  /** Sites that match, of `sites` in all. */
  total: z.number(),
  sites: z.number(),
  counts: z.record(VerdictSchema, z.number()),
  stripLowMhz: z.number(),
  stripHighMhz: z.number(),
  rows: z.array(FleetRowSchema),
});
export type FleetPage = z.infer<typeof FleetPageSchema>;
