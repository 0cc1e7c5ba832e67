import { sql } from 'kysely';
import type { Db } from '../../../ingest/store/database.ts';
import type { Calibration } from '../reportData.ts';

/** The newest calibration of each instrument of a site by a moment, by its name. */
export async function calibrationsAt(
  db: Db,
  siteId: number,
  atMs: number,
): Promise<ReadonlyMap<string, Calibration>> {
  const { rows } = await sql<{
    name: string;
    calibrated_at: Date;
    due_at: Date | null;
    uncertainty_db: number | null;
    certificate: string;
  }>`
    select distinct on (name) name, calibrated_at, due_at, uncertainty_db, certificate
    from instrument_calibration
    where site_id = ${siteId} and calibrated_at <= ${new Date(atMs)}
    order by name, calibrated_at desc`.execute(db);
  return new Map(
    rows.map((row) => [
      row.name,
      {
        calibratedAt: row.calibrated_at.toISOString(),
        dueAt: row.due_at?.toISOString() ?? null,
        uncertaintyDb: row.uncertainty_db,
        certificate: row.certificate,
      },
    ]),
  );
}
