import { z } from '@hono/zod-openapi';
import { Instant } from './common.ts';

export const SiteKeySchema = z.object({
  keyId: z.number(),
  label: z.string(),
  createdBy: z.string(),
  createdAt: Instant,
  lastUsedAt: Instant.nullable(),
  revokedAt: Instant.nullable(),
});
export type SiteKey = z.infer<typeof SiteKeySchema>;
export const SiteKeysSchema = z.object({ keys: z.array(SiteKeySchema) });

export const NewSiteKeySchema = z.object({
  /** What holds the key, such as "box in the riser cupboard". */
  label: z.string().trim().min(1).max(120),
});
export type NewSiteKey = z.infer<typeof NewSiteKeySchema>;

/** `key` is shown this once. */
export const IssuedSiteKeySchema = z.object({ keyId: z.number(), key: z.string() });
export type IssuedSiteKey = z.infer<typeof IssuedSiteKeySchema>;

/** A sweep that came in and was refused, newest first; the newest 200 are shown. */
export const RejectedSweepsSchema = z.object({
  rejected: z.array(
    z.object({
      receivedAt: Instant,
      point: z.string().nullable(),
      at: z.string().nullable(),
      path: z.string(),
      reason: z.string(),
    }),
  ),
});
export type RejectedSweeps = z.infer<typeof RejectedSweepsSchema>;
