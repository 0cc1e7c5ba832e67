import type { Db } from '../../ingest/store/database.ts';
import { withoutSecrets } from './withoutSecrets.ts';

/** One change as the audit keeps it. */
export interface RecordedChange {
  /** Name of the person or token. */
  readonly by: string;
  /** "session", "token", "link" for a one-time link, or the name of what else acted. */
  readonly via: string;
  /** A verb: "add", "change", "remove", "revoke", "accept" … */
  readonly action: string;
  /** What was changed: "site", "point", "plan", "alert" … */
  readonly subjectKind: string;
  readonly subjectId: string | number;
  /** Null for what belongs to no site. */
  readonly siteId: number | null;
  /** How the subject stood, null where there was none; secrets in it are left out. */
  readonly before: unknown;
  readonly after: unknown;
}

/**
 * Keeps who changed what. Call it with the transaction of the change, so that neither stands without the other.
 *
 * @param db the change's own transaction
 * @param nowMs wall time, milliseconds since 1970-01-01 UTC
 */
export async function recordChange(db: Db, change: RecordedChange, nowMs: number): Promise<void> {
  await db
    .insertInto('audit')
    .values({
      at: new Date(nowMs),
      by_whom: change.by,
      via: change.via,
      action: change.action,
      subject_kind: change.subjectKind,
      subject_id: String(change.subjectId),
      site_id: change.siteId,
      before: stored(change.before),
      after: stored(change.after),
    })
    .execute();
}

function stored(value: unknown): string | null {
  return value === null || value === undefined ? null : JSON.stringify(withoutSecrets(value));
}
