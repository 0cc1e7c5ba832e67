import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { AuditPage, AuditQuestion, AuditRow } from '../schemas/audit.ts';

const EXPORT_PAGE = 1000;

interface Slice {
  /** Only changes older than this one. */
  readonly before?: number | undefined;
  readonly limit: number;
}

/** One page of changes, newest first. */
export async function listAudit(
  db: Db,
  question: AuditQuestion,
  { before, limit }: Slice,
): Promise<AuditPage> {
  const words = question.what.split(/\s+/).filter((word) => word !== '');
  let query = db
    .selectFrom('audit')
    .leftJoin('site', 'site.site_id', 'audit.site_id')
    .selectAll('audit')
    .select('site.name as site')
    .orderBy('audit_id', 'desc')
    .limit(limit + 1);
  if (question.who !== '') query = query.where('by_whom', 'ilike', holding(question.who));
  if (question.site !== '') query = query.where('site.name', 'ilike', holding(question.site));
  for (const word of words) {
    const text = sql<string>`concat_ws(' ', action, subject_kind, subject_id)`;
    query = query.where(text, 'ilike', holding(word));
  }
  if (question.from !== undefined) query = query.where('at', '>=', new Date(question.from));
  if (question.to !== undefined) query = query.where('at', '<=', new Date(question.to));
  if (before !== undefined) query = query.where('audit_id', '<', before);

  const found = await query.execute();
  const rows = found.slice(0, limit).map(
    (row): AuditRow => ({
      auditId: row.audit_id,
      at: row.at.toISOString(),
      by: row.by_whom,
      via: row.via,
      action: row.action,
      subjectKind: row.subject_kind,
      subjectId: row.subject_id,
      siteId: row.site_id,
      site: row.site,
      before: row.before,
      after: row.after,
    }),
  );
  return { rows, more: found.length > limit };
}

/** Every change that a question asks for, newest first, read page by page. */
export async function* allAudit(db: Db, question: AuditQuestion): AsyncGenerator<AuditRow> {
  let before: number | undefined;
  for (;;) {
    const { rows, more } = await listAudit(db, question, { before, limit: EXPORT_PAGE });
    yield* rows;
    if (!more) return;
    before = rows.at(-1)!.auditId;
  }
}

function holding(words: string): string {
  return `%${words.replaceAll(/[\\%_]/g, '\\$&')}%`;
}
