import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import type { Deps } from '../deps.ts';
import { canonicalJson } from '../reports/canonicalJson.ts';
import { contentHash, partHashes } from '../reports/contentHash.ts';
import { reportDocument } from '../reports/document/reportDocument.ts';
import { gatherReport } from '../reports/gather/gatherReport.ts';
import { periodOf } from '../reports/periodOf.ts';
import { readingsCsv } from '../reports/readingsCsv.ts';
import { reportPdf } from '../reports/render/pdf.ts';
import type { ReportData } from '../reports/reportData.ts';
import { createRouter, jsonAnswer } from '../router.ts';
import { SiteParams } from '../schemas/params.ts';
import {
  ReportCheckQuery,
  ReportCheckSchema,
  ReportPdfQuery,
  ReportQuery,
  ReportSchema,
} from '../schemas/reports.ts';

const asData = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/report',
  summary: 'A report as data, with its content hash',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams, query: ReportQuery },
  responses: { 200: jsonAnswer('What the hash is taken over', ReportSchema) },
});

const asPdf = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/report.pdf',
  summary: 'A report as PDF; the same data, period and make give the same bytes',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams, query: ReportPdfQuery },
  responses: { 200: { description: 'The PDF', content: { 'application/pdf': {} } } },
});

const asCsv = createRoute({
  method: 'get',
  path: '/api/sites/{siteId}/report.csv',
  summary: 'The readings of a report, a line each channel and point',
  middleware: [requireRole('viewer')] as const,
  request: { params: SiteParams, query: ReportQuery },
  responses: { 200: { description: 'The readings', content: { 'text/csv': {} } } },
});

const check = createRoute({
  method: 'get',
  path: '/api/reports/check',
  summary: 'Whether the hash of a report still matches what is stored',
  middleware: [requireRole('viewer')] as const,
  request: { query: ReportCheckQuery },
  responses: { 200: jsonAnswer('The answer, with the hashes of now', ReportCheckSchema) },
});

/** Reports as files and data, and the check of a hash; the page is in `reportPage.ts`. */
export function reportRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(asData, async (c) => {
      const { kind, ...period } = c.req.valid('query');
      const report = await gatherReport(db, c.req.valid('param').siteId, kind, periodOf(period, now()));
      return c.json(
        { hash: contentHash(report), parts: partHashes(report), report: JSON.parse(canonicalJson(report)) },
        200,
      );
    })
    .openapi(asPdf, async (c) => {
      const { kind, paper, ...period } = c.req.valid('query');
      const report = await gatherReport(db, c.req.valid('param').siteId, kind, periodOf(period, now()));
      const bytes = await reportPdf(reportDocument(report), paper);
      return c.body(new Uint8Array(bytes), 200, file('application/pdf', report, 'pdf'));
    })
    .openapi(asCsv, async (c) => {
      const { kind, ...period } = c.req.valid('query');
      const report = await gatherReport(db, c.req.valid('param').siteId, kind, periodOf(period, now()));
      return c.body(readingsCsv(report), 200, file('text/csv; charset=utf-8', report, 'csv'));
    })
    .openapi(check, async (c) => {
      const { siteId, kind, hash: printed, ...period } = c.req.valid('query');
      const report = await gatherReport(db, siteId, kind, periodOf(period, now()));
      const hash = contentHash(report);
      return c.json({ matches: hash === printed.toLowerCase(), hash, parts: partHashes(report) }, 200);
    });
}

function file(type: string, { kind, siteId, to }: ReportData, ending: string): Record<string, string> {
  const name = `${kind}-site-${siteId}-${to.slice(0, 10)}.${ending}`;
  return { 'Content-Type': type, 'Content-Disposition': `inline; filename="${name}"` };
}
