import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { ComplaintRow } from '../../ingest/store/schema.ts';
import type { HoursBefore } from './judgeComplaint.ts';

/** Complaints are held against the readings of this many hours before. */
const HOURS = 6;

/** By complaint: how far each point of its site had moved from baseline, of the hours before the one that moved most. */
export async function hoursBefore(
  db: Db,
  complaints: readonly Pick<ComplaintRow, 'site_id' | 'complaint_id'>[],
): Promise<ReadonlyMap<number, readonly HoursBefore[]>> {
  if (complaints.length === 0) return new Map();
  const siteIds = [...new Set(complaints.map(({ site_id }) => site_id))];
  const complaintIds = complaints.map(({ complaint_id }) => complaint_id);
  const { rows } = await sql<HoursBefore & { complaintId: number }>`
    select complaint.complaint_id as "complaintId", point.point_id as "pointId",
      (array_agg(level_dev_db order by abs(level_dev_db) desc nulls last))[1] as "levelDevDb",
      (array_agg(tilt_dev_db order by abs(tilt_dev_db) desc nulls last))[1] as "tiltDevDb"
    from complaint
    join point on point.site_id = complaint.site_id
    join hourly on hourly.site_id = point.site_id and hourly.point_id = point.point_id
      and hourly.hour > complaint.seen_at - make_interval(hours => ${HOURS}) and hourly.hour <= complaint.seen_at
    where complaint.site_id = any(${siteIds}::bigint[]) and complaint.complaint_id = any(${complaintIds}::bigint[])
    group by complaint.complaint_id, point.point_id`.execute(db);
  return Map.groupBy(rows, ({ complaintId }) => complaintId);
}
