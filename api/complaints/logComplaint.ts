import type { z } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { InvalidInput, NotFound } from '../errors.ts';
import type { NewComplaintSchema } from '../schemas/complaints.ts';
import { channelsSaid, sitePlanAt } from './siteServices.ts';

/** A telephone's clock may be ahead by this much. */
const CLOCK_SLACK_MS = 5 * 60_000;

/**
 * Keeps what somebody in a building said. The viewer's channel becomes an RF channel where the plan in force then leaves one choice.
 *
 * @returns its number within all complaints
 * @throws NotFound when there is no such site
 * @throws InvalidInput for a point of another site, a channel that the plan doesn't hold, or a time to come
 */
export async function logComplaint(
  db: Db,
  siteId: number,
  said: z.output<typeof NewComplaintSchema>,
  by: string,
  nowMs: number,
): Promise<number> {
  const seenMs = said.seenAt === undefined ? nowMs : Date.parse(said.seenAt);
  const plan = await sitePlanAt(db, siteId, seenMs);
  if (seenMs > nowMs + CLOCK_SLACK_MS) throw new InvalidInput({ seenAt: 'lies in the future' });
  if (said.pointId !== null) await checkPoint(db, siteId, said.pointId);
  if (said.rfChannel !== null && !plan?.channels.some(({ channel }) => channel === said.rfChannel)) {
    throw new InvalidInput({ rfChannel: `is not in the site’s channel plan of that day: ${said.rfChannel}` });
  }

  const meant = channelsSaid(plan, said.viewerChannel);
  const { complaint_id } = await db
    .insertInto('complaint')
    .values({
      site_id: siteId,
      seen_at: new Date(seenMs),
      point_id: said.pointId,
      outlet: said.outlet,
      symptom: said.symptom,
      viewer_channel: said.viewerChannel,
      rf_channel: said.rfChannel ?? (meant.length === 1 ? meant[0]!.channel : null),
      note: said.note,
      logged_by: by,
      logged_at: new Date(nowMs),
      withdrawn_by: null,
      withdrawn_at: null,
    })
    .returning('complaint_id')
    .executeTakeFirstOrThrow();
  return complaint_id;
}

/** Takes back what was logged by mistake; the row stays, with who took it back. */
export async function withdrawComplaint(
  db: Db,
  siteId: number,
  complaintId: number,
  by: string,
  nowMs: number,
): Promise<void> {
  const { numUpdatedRows } = await db
    .updateTable('complaint')
    .set({ withdrawn_by: by, withdrawn_at: new Date(nowMs) })
    .where('site_id', '=', siteId)
    .where('complaint_id', '=', complaintId)
    .where('withdrawn_at', 'is', null)
    .executeTakeFirst();
  if (numUpdatedRows === 0n) throw new NotFound('complaint', complaintId);
}

async function checkPoint(db: Db, siteId: number, pointId: number): Promise<void> {
  const point = await db
    .selectFrom('point')
    .select('point_id')
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .executeTakeFirst();
  if (point === undefined) throw new InvalidInput({ pointId: `this site has no point ${pointId}` });
}
