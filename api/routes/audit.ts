import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import { auditCsv, auditJsonLines } from '../audit/auditLines.ts';
import { allAudit, listAudit } from '../audit/listAudit.ts';
import type { Deps } from '../deps.ts';
import { createRouter, jsonAnswer } from '../router.ts';
import { AuditFilter, AuditPageSchema, AuditQuery } from '../schemas/audit.ts';

const list = createRoute({
  method: 'get',
  path: '/api/audit',
  summary: 'Who changed what, before and after; no route changes these rows',
  middleware: [requireRole('manager')] as const,
  request: { query: AuditQuery },
  responses: { 200: jsonAnswer('One page, newest first', AuditPageSchema) },
});

const asCsv = createRoute({
  method: 'get',
  path: '/api/audit.csv',
  summary: 'The changes asked for as CSV',
  middleware: [requireRole('manager')] as const,
  request: { query: AuditFilter },
  responses: { 200: { description: 'A line a change, newest first', content: { 'text/csv': {} } } },
});

const asJsonLines = createRoute({
  method: 'get',
  path: '/api/audit.jsonl',
  summary: 'The changes asked for as JSON lines',
  middleware: [requireRole('manager')] as const,
  request: { query: AuditFilter },
  responses: {
    200: { description: 'A line a change, newest first', content: { 'text/jsonl': {} } },
  },
});

/** Reading the audit. Writing it is part of each change. */
export function auditRoutes({ db }: Deps) {
  return createRouter()
    .openapi(list, async (c) => {
      const { before, limit, ...question } = c.req.valid('query');
      return c.json(await listAudit(db, question, { before, limit }), 200);
    })
    .openapi(asCsv, (c) => {
      const lines = auditCsv(allAudit(db, c.req.valid('query')));
      return c.body(streamOf(lines), 200, file('text/csv; charset=utf-8', 'audit.csv'));
    })
    .openapi(asJsonLines, (c) => {
      const lines = auditJsonLines(allAudit(db, c.req.valid('query')));
      return c.body(streamOf(lines), 200, file('text/jsonl; charset=utf-8', 'audit.jsonl'));
    });
}

function streamOf(lines: AsyncGenerator<string>): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder();
  return new ReadableStream({
    async pull(controller) {
      const { done, value } = await lines.next();
      if (done) controller.close();
      else controller.enqueue(encoder.encode(value));
    },
    async cancel() {
      await lines.return(undefined);
    },
  });
}

function file(type: string, name: string): Record<string, string> {
  return { 'Content-Type': type, 'Content-Disposition': `attachment; filename="${name}"` };
}
