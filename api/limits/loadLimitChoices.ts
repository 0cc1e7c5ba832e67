import type { Db } from '../../ingest/store/database.ts';
import type { LimitChange, LimitChoice, LimitChoices } from './limitChoice.ts';

/** Every choice of limits that may reach a point of the site: the fleet's and the site's own. */
export async function loadLimitChoices(db: Db, siteId: number): Promise<LimitChoices> {
  const site = await db.selectFrom('site_limit_choice').selectAll().where('site_id', '=', siteId).execute();
  return { fleet: await loadFleetLimitChoices(db), site: site.map(toChoice) };
}

/** Every choice of limits for a kind of point in the whole fleet. */
export async function loadFleetLimitChoices(db: Db): Promise<LimitChoice[]> {
  const rows = await db.selectFrom('fleet_limit_choice').selectAll().execute();
  return rows.map((row) => toChoice({ ...row, point_id: null }));
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
