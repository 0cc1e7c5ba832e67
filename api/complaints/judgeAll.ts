import type { Db } from '../../ingest/store/database.ts';
import type { ComplaintRow } from '../../ingest/store/schema.ts';
import { upstream } from '../diagnosis/tree.ts';
import { hoursBefore } from './hoursBefore.ts';
import { type Judgement, judgeComplaint } from './judgeComplaint.ts';
import { knownTroubles } from './knownTroubles.ts';

export interface JudgedComplaint<Row extends ComplaintRow = ComplaintRow> {
  readonly row: Row;
  readonly judgement: Judgement;
}

/**
 * Judges complaints by what alerts and findings say now, each time anew: nothing of a judgement is kept, so it moves with the
 * findings when late sweeps change them.
 */
export async function judgeAll<Row extends ComplaintRow>(
  db: Db,
  rows: readonly Row[],
): Promise<JudgedComplaint<Row>[]> {
  const siteIds = [...new Set(rows.map(({ site_id }) => site_id))];
  const troubles = await knownTroubles(db, siteIds);
  const paths = await pathsOf(db, siteIds);
  const hours = await hoursBefore(db, rows);
  return rows.map((row) => {
    const facts = {
      seenMs: row.seen_at.getTime(),
      path: row.point_id === null ? null : paths(row.site_id, row.point_id),
      rfChannel: row.rf_channel,
    };
    const judgement = judgeComplaint(
      facts,
      troubles.get(row.site_id) ?? [],
      hours.get(row.complaint_id) ?? [],
    );
    return { row, judgement };
  });
}

/** The point and what feeds it, up to the handoff. */
async function pathsOf(db: Db, siteIds: readonly number[]) {
  const points =
    siteIds.length === 0
      ? []
      : await db
          .selectFrom('point')
          .select(['site_id', 'point_id as pointId', 'fed_by as fedBy'])
          .where('site_id', 'in', siteIds)
          .execute();
  const bySite = Map.groupBy(points, ({ site_id }) => site_id);
  return (siteId: number, pointId: number): ReadonlySet<number> => {
    const byId = new Map((bySite.get(siteId) ?? []).map((point) => [point.pointId, point]));
    return new Set([pointId, ...upstream(pointId, byId).map((point) => point.pointId)]);
  };
}
