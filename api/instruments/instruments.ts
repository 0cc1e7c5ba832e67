import { sql } from 'kysely';
import { announceChange } from '../../ingest/store/announceChange.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import { InvalidInput, NotFound } from '../errors.ts';
import type { ChangeInstrument, Instrument, NewCalibration } from '../schemas/instruments.ts';
import { isUniqueViolation } from '../setup/constraint.ts';
import { findInstrument } from './findInstrument.ts';

/** The instruments that have read at a site, those that read last first. */
export async function listInstruments(db: Db, siteId: number, nowMs: number): Promise<Instrument[]> {
  const instruments = await db
    .selectFrom('instrument')
    .select(['name', 'serial', 'note', 'calibration_due_at'])
    .where('site_id', '=', siteId)
    .execute();
  const readings = await readingsOf(db, siteId);
  const calibrations = await calibrationsOf(db, siteId);
  return instruments
    .map(({ name, serial, note, calibration_due_at }): Instrument => {
      const read = readings.get(name);
      const isOverdue = calibration_due_at !== null && calibration_due_at.getTime() <= nowMs;
      return {
        name,
        serial,
        note,
        standing: calibration_due_at === null ? 'unknown' : isOverdue ? 'overdue' : 'in',
        firstReadAt: read?.first_at.toISOString() ?? null,
        lastReadAt: read?.last_at.toISOString() ?? null,
        points: read?.points ?? [],
        calibrations: calibrations.get(name) ?? [],
      };
    })
    .toSorted(
      (a, b) => (b.lastReadAt ?? '').localeCompare(a.lastReadAt ?? '') || a.name.localeCompare(b.name),
    );
}

/** Throws 404 when no such instrument has read at the site. */
export async function changeInstrument(
  db: Db,
  siteId: number,
  name: string,
  change: ChangeInstrument,
): Promise<void> {
  await findInstrument(db, siteId, name);
  if (Object.keys(change).length === 0) return;
  await db
    .updateTable('instrument')
    .set(change)
    .where('site_id', '=', siteId)
    .where('name', '=', name)
    .execute();
}

/**
 * Enters a calibration. The engine looks again from its date on, since the instrument may read otherwise from there.
 *
 * @returns its number
 */
export async function addCalibration(
  db: Db,
  siteId: number,
  name: string,
  wanted: NewCalibration,
  { by, nowMs }: { by: string; nowMs: number },
): Promise<number> {
  await findInstrument(db, siteId, name);
  const calibratedMs = Date.parse(wanted.calibratedAt);
  const dueMs = wanted.dueAt === null ? null : Date.parse(wanted.dueAt);
  if (calibratedMs > nowMs) throw new InvalidInput({ calibratedAt: 'lies ahead: enter it once it is done' });
  if (dueMs !== null && dueMs <= calibratedMs)
    throw new InvalidInput({ dueAt: 'must lie after the calibration' });

  return inTransaction(db, async (trx) => {
    const { calibration_id } = await trx
      .insertInto('instrument_calibration')
      .values({
        site_id: siteId,
        name,
        calibrated_at: new Date(calibratedMs),
        due_at: dueMs === null ? null : new Date(dueMs),
        uncertainty_db: wanted.uncertaintyDb,
        certificate: wanted.certificate,
        entered_by: by,
        entered_at: new Date(nowMs),
      })
      .returning('calibration_id')
      .executeTakeFirstOrThrow()
      .catch((error: unknown) => {
        if (isUniqueViolation(error))
          throw new InvalidInput({ calibratedAt: 'is entered already: remove that one first' });
        throw error;
      });
    await followNewest(trx, siteId, name);
    await announceFrom(trx, siteId, calibratedMs);
    return calibration_id;
  });
}

/** Takes back a calibration that was entered by mistake. Throws 404 when there is none. */
export async function removeCalibration(
  db: Db,
  siteId: number,
  name: string,
  calibrationId: number,
): Promise<void> {
  await inTransaction(db, async (trx) => {
    const removed = await trx
      .deleteFrom('instrument_calibration')
      .where('site_id', '=', siteId)
      .where('name', '=', name)
      .where('calibration_id', '=', calibrationId)
      .returning('calibrated_at')
      .executeTakeFirst();
    if (removed === undefined) throw new NotFound('calibration', calibrationId);
    await followNewest(trx, siteId, name);
    await announceFrom(trx, siteId, removed.calibrated_at.getTime());
  });
}

/** Keeps what the newest calibration says beside the instrument. */
async function followNewest(db: Db, siteId: number, name: string): Promise<void> {
  const newest = await db
    .selectFrom('instrument_calibration')
    .select(['calibrated_at', 'due_at', 'uncertainty_db'])
    .where('site_id', '=', siteId)
    .where('name', '=', name)
    .orderBy('calibrated_at', 'desc')
    .limit(1)
    .executeTakeFirst();
  await db
    .updateTable('instrument')
    .set({
      calibrated_at: newest?.calibrated_at ?? null,
      calibration_due_at: newest?.due_at ?? null,
      uncertainty_db: newest?.uncertainty_db ?? null,
    })
    .where('site_id', '=', siteId)
    .where('name', '=', name)
    .execute();
}

/** An instrument may have read at any of the site's points. */
async function announceFrom(db: Db, siteId: number, fromMs: number): Promise<void> {
  const points = await db.selectFrom('point').select('point_id').where('site_id', '=', siteId).execute();
  await announceChange(
    db,
    siteId,
    points.map(({ point_id }) => point_id),
    fromMs,
  );
}

interface Read {
  readonly instrument: string;
  readonly first_at: Date;
  readonly last_at: Date;
  readonly points: string[];
}

async function readingsOf(db: Db, siteId: number): Promise<Map<string, Read>> {
  const { rows } = await sql<Read>`
    select instrument, min(first_at) as first_at, max(last_at) as last_at,
      array_agg(coalesce(nullif(point.label, ''), point.name) order by read.point_id) as points
    from (
      select point_id, instrument, min(at) as first_at, max(at) as last_at
      from sweep where site_id = ${siteId} group by point_id, instrument
    ) as read
    join point on point.site_id = ${siteId} and point.point_id = read.point_id
    group by instrument`.execute(db);
  return new Map(rows.map((row) => [row.instrument, row]));
}

async function calibrationsOf(db: Db, siteId: number): Promise<Map<string, Instrument['calibrations']>> {
  const rows = await db
    .selectFrom('instrument_calibration')
    .selectAll()
    .where('site_id', '=', siteId)
    .orderBy('calibrated_at', 'desc')
    .execute();
  const byName = Map.groupBy(rows, ({ name }) => name);
  return new Map(
    [...byName].map(([name, ofName]) => [
      name,
      ofName.map((row) => ({
        calibrationId: row.calibration_id,
        calibratedAt: row.calibrated_at.toISOString(),
        dueAt: row.due_at?.toISOString() ?? null,
        uncertaintyDb: row.uncertainty_db,
        certificate: row.certificate,
        enteredBy: row.entered_by,
        enteredAt: row.entered_at.toISOString(),
      })),
    ]),
  );
}
