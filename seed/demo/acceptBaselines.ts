import { acceptBaseline } from '../../api/baseline/acceptBaseline.ts';
import type { Db } from '../../ingest/store/database.ts';
import { INSTALLER } from '../fleet/roster.ts';
import type { SetUpSite } from './setUpFleet.ts';

const EXCEPTION_NOTE = 'within what the meter may be off; agreed with the provider at installation';

/**
 * Has the installer accept a baseline for every point that has none, from the sweeps between the two times.
 * Says how many were accepted.
 */
export async function acceptBaselines(
  db: Db,
  { siteId, pointIds }: SetUpSite,
  fromMs: number,
  toMs: number,
): Promise<number> {
  const rows = await db.selectFrom('baseline').select('point_id').where('site_id', '=', siteId).execute();
  const known = new Set(rows.map((row) => row.point_id));
  const wanted = [...pointIds.values()].filter((pointId) => !known.has(pointId));

  for (const pointId of wanted) {
    await acceptBaseline(
      db,
      { siteId, pointId, fromMs, toMs },
      { acceptedBy: INSTALLER, acceptedAtMs: toMs, exceptionNote: EXCEPTION_NOTE },
    );
  }
  return wanted.length;
}
