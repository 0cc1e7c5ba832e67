import type { Db } from '../../ingest/store/database.ts';
import { NotFound } from '../errors.ts';
import type { NewCalibration } from '../schemas/instruments.ts';

/** What people have said of an instrument. Throws 404 when no such instrument has read at the site. */
export async function findInstrument(
  db: Db,
  siteId: number,
  name: string,
): Promise<{ readonly name: string; readonly serial: string; readonly note: string }> {
  const found = await db
    .selectFrom('instrument')
    .select(['name', 'serial', 'note'])
    .where('site_id', '=', siteId)
    .where('name', '=', name)
    .executeTakeFirst();
  if (found === undefined) throw new NotFound('instrument', name);
  return found;
}

/** One calibration as it was entered. Throws 404 when there is none. */
export async function findCalibration(
  db: Db,
  siteId: number,
  name: string,
  calibrationId: number,
): Promise<NewCalibration & { readonly name: string }> {
  const row = await db
    .selectFrom('instrument_calibration')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('name', '=', name)
    .where('calibration_id', '=', calibrationId)
    .executeTakeFirst();
  if (row === undefined) throw new NotFound('calibration', calibrationId);
  return {
    name,
    calibratedAt: row.calibrated_at.toISOString(),
    dueAt: row.due_at?.toISOString() ?? null,
    uncertaintyDb: row.uncertainty_db,
    certificate: row.certificate,
  };
}
