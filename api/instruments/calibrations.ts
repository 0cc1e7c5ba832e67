import type { Db } from '../../ingest/store/database.ts';

/** One calibration of an instrument, event time. */
export interface Calibration {
  readonly atMs: number;
  /** Until when it holds; null when nobody said. */
  readonly dueMs: number | null;
  readonly uncertaintyDb: number | null;
}

/** Calibrations of a site's instruments by name, earliest first. */
export type Calibrations = ReadonlyMap<string, readonly Calibration[]>;

export async function loadCalibrations(db: Db, siteId: number): Promise<Calibrations> {
  const rows = await db
    .selectFrom('instrument_calibration')
    .select(['name', 'calibrated_at', 'due_at', 'uncertainty_db'])
    .where('site_id', '=', siteId)
    .orderBy('calibrated_at')
    .execute();
  return Map.groupBy(
    rows.map(({ name, calibrated_at, due_at, uncertainty_db }) => ({
      name,
      atMs: calibrated_at.getTime(),
      dueMs: due_at?.getTime() ?? null,
      uncertaintyDb: uncertainty_db,
    })),
    ({ name }) => name,
  );
}

/** The calibration that holds for what an instrument read at a moment: the newest before it; null when none is known. */
export function calibrationAt(
  calibrations: Calibrations,
  instrument: string,
  atMs: number,
): Calibration | null {
  return calibrations.get(instrument)?.findLast((calibration) => calibration.atMs <= atMs) ?? null;
}

/** Since when an instrument was out of calibration when it read at `atMs`, ms; null when it was in it, or nobody knows. */
export function overdueSince(calibrations: Calibrations, instrument: string, atMs: number): number | null {
  const dueMs = calibrationAt(calibrations, instrument, atMs)?.dueMs ?? null;
  return dueMs !== null && dueMs <= atMs ? dueMs : null;
}
