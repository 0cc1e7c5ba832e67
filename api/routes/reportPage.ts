import { createRoute } from '@hono/zod-openapi';
import type { MiddlewareHandler } from 'hono';
import { zoneOffsetMs } from '../../ingest/schedule/zoneOffset.ts';
import { requireRole } from '../accounts/requireRole.ts';
import type { Deps } from '../deps.ts';
import type { AppEnv } from '../env.ts';
import { reportDocument } from '../reports/document/reportDocument.ts';
import { gatherReport } from '../reports/gather/gatherReport.ts';
import { daysOf, periodOf } from '../reports/periodOf.ts';
import { type PageTools, reportPage } from '../reports/render/page.ts';
import type { ReportData } from '../reports/reportData.ts';
import { type Period, REPORT_KINDS, REPORT_TITLE, type ReportKind } from '../reports/reportKind.ts';
import { createRouter } from '../router.ts';
import { SiteParams } from '../schemas/params.ts';
import { ReportPageQuery } from '../schemas/reports.ts';
import { findSite } from '../setup/sites.ts';

const SPANS_DAYS = [7, 30, 90, 365];
const DAY_MS = 86_400_000;

/** Whoever isn't signed in is sent to the door, and comes back from there. */
const toTheDoor: MiddlewareHandler<AppEnv> = async (c, next) => {
  if (c.get('actor') !== undefined) return next();
  const { pathname, search } = new URL(c.req.url);
  return c.redirect(`/sign-in?next=${encodeURIComponent(pathname + search)}`);
};

const page = createRoute({
  method: 'get',
  path: '/sites/{siteId}/report',
  summary: 'A report as a page made for paper',
  middleware: [toTheDoor, requireRole('viewer')] as const,
  request: { params: SiteParams, query: ReportPageQuery },
  responses: {
    200: { description: 'The page', content: { 'text/html': {} } },
    302: { description: 'To the same report with its period in the address' },
  },
});

/** The report page. Its address always names the period, so that a link shows tomorrow what it shows today. */
export function reportPageRoutes({ db, now }: Deps) {
  return createRouter().openapi(page, async (c) => {
    const { siteId } = c.req.valid('param');
    const { kind, from, to, fromDay, toDay, hash } = c.req.valid('query');
    const nowMs = now();
    if (from === undefined || to === undefined) {
      const { timeZone } = await findSite(db, siteId);
      const period =
        fromDay && toDay ? daysOf(fromDay, toDay, timeZone, nowMs) : periodOf({ from, to }, nowMs);
      return c.redirect(pageHref(siteId, kind, period), 302);
    }
    const report = await gatherReport(db, siteId, kind, periodOf({ from, to }, nowMs));
    const document = reportDocument(report);
    c.header('Cache-Control', 'no-store');
    return c.html(reportPage(document, toolsOf(report, document.hash, hash ?? '')), 200);
  });
}

function toolsOf(report: ReportData, hash: string, printed: string): PageTools {
  const { siteId, kind, setUp } = report;
  const period = { fromMs: Date.parse(report.from), toMs: Date.parse(report.to) };
  const query = queryOf(kind, period);
  const api = `/api/sites/${siteId}/report`;
  const dayOf = (ms: number) => new Date(ms + zoneOffsetMs(setUp.timeZone, ms)).toISOString().slice(0, 10);
  return {
    siteHref: `/sites/${siteId}`,
    siteName: setUp.site,
    kinds: REPORT_KINDS.map((each) => ({
      text: REPORT_TITLE[each],
      href: pageHref(siteId, each, period),
      current: each === kind,
    })),
    spans: SPANS_DAYS.map((days) => ({
      text: `${days} days`,
      href: pageHref(siteId, kind, { ...period, fromMs: period.toMs - days * DAY_MS }),
      current: period.toMs - period.fromMs === days * DAY_MS,
    })),
    files: [
      { text: 'PDF, A4', href: `${api}.pdf?${query}&paper=a4` },
      { text: 'PDF, Letter', href: `${api}.pdf?${query}&paper=letter` },
      { text: 'Readings, CSV', href: `${api}.csv?${query}` },
      { text: 'All data, JSON', href: `${api}?${query}` },
    ],
    check: {
      kind,
      from: report.from,
      to: report.to,
      printed,
      matches: printed === '' ? null : printed.toLowerCase() === hash,
    },
    form: { kind, fromDay: dayOf(period.fromMs), toDay: dayOf(period.toMs - 1) },
  };
}

function pageHref(siteId: number, kind: ReportKind, period: Period): string {
  return `/sites/${siteId}/report?${queryOf(kind, period)}`;
}

function queryOf(kind: ReportKind, { fromMs, toMs }: Period): string {
  const [from, to] = [fromMs, toMs].map((ms) => new Date(ms).toISOString()) as [string, string];
  return String(new URLSearchParams({ kind, from, to }));
}
