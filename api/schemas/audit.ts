import { z } from '@hono/zod-openapi';
import { Instant } from './common.ts';

const Words = z.string().trim().max(200).default('');

/** Which changes to show; what is empty or absent leaves nothing out. */
export const AuditFilter = z.object({
  /** A part of the name of whoever changed something. */
  who: Words,
  /** Words to find in the action, the kind of the subject or its number. */
  what: Words,
  /** A part of the site's name. */
  site: Words,
  from: Instant.optional(),
  to: Instant.optional(),
});
export type AuditQuestion = z.infer<typeof AuditFilter>;

export const AuditQuery = AuditFilter.extend({
  /** Only changes older than this one: the last of the page before. */
  before: z.coerce.number().int().positive().optional(),
  limit: z.coerce.number().int().min(1).max(500).default(100),
});

export const AuditRowSchema = z.object({
  auditId: z.number(),
  at: Instant,
  by: z.string(),
  via: z.string(),
  action: z.string(),
  subjectKind: z.string(),
  subjectId: z.string(),
  siteId: z.number().nullable(),
  /** By its name of today; null for what belongs to no site. */
  site: z.string().nullable(),
  before: z.unknown(),
  after: z.unknown(),
});
export type AuditRow = z.infer<typeof AuditRowSchema>;

/** Newest first. */
export const AuditPageSchema = z.object({ rows: z.array(AuditRowSchema), more: z.boolean() });
export type AuditPage = z.infer<typeof AuditPageSchema>;
