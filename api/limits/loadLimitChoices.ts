import type { Db } from '../../ingest/store/database.ts';
import type { LimitChange, LimitChoice, LimitChoices } from './limitChoice.ts';

/** Every choice of limits that may reach a point of the site: the fleet's and the site's own. */
export async function loadLimitChoices(db: Db, siteId: number): Promise<LimitChoices> {
  const fleet = await db.selectFrom('fleet_limit_choice').selectAll().execute();
  const site = await db.selectFrom('site_limit_choice').selectAll().where('site_id', '=', siteId).execute();
  return {
    fleet: fleet.map((row) => toChoice({ ...row, point_id: null })),
    site: site.map(toChoice),
  };
}

function toChoice(row: {
  choice_id: number;
  kind: LimitChoice['kind'];
  point_id: number | null;
  set_id: string;
  changes: unknown[];
  reason: string;
  chosen_by: string;
  chosen_at: Date;
}): LimitChoice {
  return {
    choiceId: row.choice_id,
    kind: row.kind,
    pointId: row.point_id,
    setId: row.set_id,
    changes: row.changes as LimitChange[],
    reason: row.reason,
    chosenBy: row.chosen_by,
    chosenAtMs: row.chosen_at.getTime(),
  };
}
