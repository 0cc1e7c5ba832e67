import { csvLine } from '../csvLine.ts';
import type { AuditRow } from '../schemas/audit.ts';

/** Changes as comma-separated values; before and after are JSON. */
export async function* auditCsv(rows: AsyncIterable<AuditRow>): AsyncGenerator<string> {
  yield csvLine([
    'audit_id',
    'at',
    'by',
    'via',
    'action',
    'subject_kind',
    'subject_id',
    'site_id',
    'site',
    'before',
    'after',
  ]);
  for await (const {
    auditId,
    at,
    by,
    via,
    action,
    subjectKind,
    subjectId,
    siteId,
    site,
    before,
    after,
  } of rows) {
    const [number, place] = [String(auditId), siteId === null ? null : String(siteId)];
    yield csvLine([
      number,
      at,
      by,
      via,
      action,
      subjectKind,
      subjectId,
      place,
      site,
      json(before),
      json(after),
    ]);
  }
}

/** Changes as JSON, one a line. */
export async function* auditJsonLines(rows: AsyncIterable<AuditRow>): AsyncGenerator<string> {
  for await (const row of rows) yield `${JSON.stringify(row)}\n`;
}

function json(value: unknown): string | null {
  return value === null ? null : JSON.stringify(value);
}
