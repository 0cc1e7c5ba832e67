import { z } from '@hono/zod-openapi';
import { PAPERS } from '../reports/render/pdf.ts';
import { PARTS } from '../reports/reportData.ts';
import { REPORT_KINDS } from '../reports/reportKind.ts';
import { Instant } from './common.ts';

const Day = z.iso.date();
const Hash = z.string().regex(/^[0-9a-f]{64}$/i, 'must be the 64 hexadecimal figures of a SHA-256');

export const ReportQuery = z.object({
  kind: z.enum(REPORT_KINDS),
  /** 30 days before `to` when absent. */
  from: Instant.optional(),
  /** The report's "now": nothing later counts. This minute when absent. */
  to: Instant.optional(),
});

export const ReportPdfQuery = ReportQuery.extend({ paper: z.enum(PAPERS).default('a4') });

/** As the page's address holds it: moments, or days of the site's zone, both of them whole. */
export const ReportPageQuery = ReportQuery.extend({
  kind: ReportQuery.shape.kind.default('handoff'),
  fromDay: Day.optional(),
  toDay: Day.optional(),
  /** The hash of a printed report, to hold against this one. */
  hash: z.string().trim().max(200).optional(),
});

const PartHash = z.object({ part: z.enum(PARTS), hash: z.string() });

/** A report as data. `report` is what the hash is taken over, in canonical JSON. */
export const ReportSchema = z.object({
  hash: z.string(),
  parts: z.array(PartHash),
  report: z.record(z.string(), z.unknown()),
});

export const ReportCheckQuery = z.object({
  siteId: z.coerce.number().int().positive(),
  kind: z.enum(REPORT_KINDS),
  from: Instant,
  to: Instant,
  hash: Hash,
});

export const ReportCheckSchema = z.object({
  matches: z.boolean(),
  /** What the data gives now, whole and part by part, to compare with what is printed. */
  hash: z.string(),
  parts: z.array(PartHash),
});
