import type { Transaction } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { Database } from '../../ingest/store/schema.ts';
import { type RecordedChange, recordChange } from './recordChange.ts';

type Trx = Transaction<Database>;

/** Who changes something, where and when; `via` as in {@link RecordedChange}. */
export interface AuditContext {
  readonly db: Db;
  readonly actor: { readonly name: string; readonly via: string };
  /** Wall time. */
  readonly nowMs: number;
}

/** What a change is called in the audit; its subject may follow from what the change answers. */
export interface NamedChange<T> {
  readonly action: string;
  readonly subjectKind: string;
  readonly subjectId: RecordedChange['subjectId'] | ((answer: T) => RecordedChange['subjectId']);
  /** Null or absent for what belongs to no site. */
  readonly siteId?: number | null | ((answer: T) => number | null);
  /** Whether anything was changed, where that isn't sure; what was done before and is sent again leaves no second row. */
  readonly isChange?: (answer: T) => boolean;
  /** How the subject stands before the change; absent for one that is about to be made. */
  readonly before?: (trx: Trx) => Promise<unknown>;
  /** How it stands afterwards; absent where it is gone. */
  readonly after?: (trx: Trx, answer: T) => Promise<unknown>;
}

/**
 * Makes a change and keeps who made it, in one transaction.
 *
 * @returns what the change answers; throws what it throws, and then nothing is kept
 */
export function audited<T>(
  { db, actor, nowMs }: AuditContext,
  change: (trx: Trx) => Promise<T>,
  { action, subjectKind, subjectId, siteId, isChange, ...reads }: NamedChange<T>,
): Promise<T> {
  return inTransaction(db, async (trx) => {
    const before = (await reads.before?.(trx)) ?? null;
    const answer = await change(trx);
    if (isChange?.(answer) === false) return answer;
    const after = (await reads.after?.(trx, answer)) ?? null;
    const subject = {
      subjectId: typeof subjectId === 'function' ? subjectId(answer) : subjectId,
      siteId: typeof siteId === 'function' ? siteId(answer) : (siteId ?? null),
    };
    const { name: by, via } = actor;
    await recordChange(trx, { by, via, action, subjectKind, ...subject, before, after }, nowMs);
    return answer;
  });
}
