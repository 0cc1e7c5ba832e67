import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { AuditContext } from '../audit/audited.ts';
import { recordChange } from '../audit/recordChange.ts';
import type { PointEntry } from './pointEntries.ts';
import { findPoint } from './points.ts';
import { addPoints } from './writePoints.ts';

/** Adds several points at once, as {@link addPoints}; the audit says of each who added it, as of one that was added alone. */
export function addPointTree(
  { db, actor: { name: by, via }, nowMs }: AuditContext,
  siteId: number,
  entries: readonly PointEntry[],
): Promise<void> {
  return inTransaction(db, async (trx) => {
    for (const subjectId of await addPoints(trx, siteId, entries)) {
      const subject = { subjectKind: 'point', subjectId, siteId };
      const after = await findPoint(trx, siteId, subjectId);
      await recordChange(trx, { by, via, action: 'add', ...subject, before: null, after }, nowMs);
    }
  });
}
