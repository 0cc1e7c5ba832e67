import type { Db } from '../../../ingest/store/database.ts';
import type { InstrumentUse } from '../reportData.ts';
import type { Period } from '../reportKind.ts';
import { calibrationsAt } from './calibrationsAt.ts';

/** Which instruments read at the points of a site within a period, by point and name. */
export async function instrumentUse(
  db: Db,
  siteId: number,
  { fromMs, toMs }: Period,
): Promise<InstrumentUse[]> {
  const rows = await db
    .selectFrom('sweep')
    .select(['point_id', 'instrument'])
    .select((eb) => [
      eb.fn.countAll<number>().as('sweeps'),
      eb.fn.min('at').as('first'),
      eb.fn.max('at').as('last'),
    ])
    .where('site_id', '=', siteId)
    .where('at', '>=', new Date(fromMs))
    .where('at', '<=', new Date(toMs))
    .groupBy(['point_id', 'instrument'])
    .orderBy('point_id')
    .orderBy('instrument')
    .execute();
  const calibrations = await calibrationsAt(db, siteId, toMs);
  return rows.map(({ point_id, instrument, sweeps, first, last }) => ({
    pointId: point_id,
    instrument,
    sweeps,
    firstAt: first.toISOString(),
    lastAt: last.toISOString(),
    calibration: calibrations.get(instrument) ?? null,
  }));
}
