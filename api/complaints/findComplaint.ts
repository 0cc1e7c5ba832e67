import type { Db } from '../../ingest/store/database.ts';
import { NotFound } from '../errors.ts';

/** What was said, as it is kept. Throws NotFound. */
export async function findComplaint(db: Db, siteId: number, complaintId: number) {
  const row = await db
    .selectFrom('complaint')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('complaint_id', '=', complaintId)
    .executeTakeFirst();
  if (row === undefined) throw new NotFound('complaint', complaintId);
  return {
    seenAt: row.seen_at.toISOString(),
    pointId: row.point_id,
    outlet: row.outlet,
    symptom: row.symptom,
    viewerChannel: row.viewer_channel,
    rfChannel: row.rf_channel,
    note: row.note,
    withdrawnBy: row.withdrawn_by,
  };
}
