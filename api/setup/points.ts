import { sql, type Transaction } from 'kysely';
import { announceChange } from '../../ingest/store/announceChange.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { Database, NewPoint, Point } from '../../ingest/store/schema.ts';
import { ApiError, InvalidInput, NotFound } from '../errors.ts';
import type { ChangePoint, PointSetup } from '../schemas/siteSetup.ts';
import { ALL_HISTORY_MS } from './allHistory.ts';
import { isUniqueViolation } from './constraint.ts';
import { inTreeOrder, treeFaults } from './pointTree.ts';

export type PointFields = Omit<PointSetup, 'pointId' | 'createdAt' | 'hasSweeps'>;
type Trx = Transaction<Database>;

/** What hangs on a point that never had a sweep, and goes with it. */
const DEPENDENTS = ['arrival', 'point_state', 'site_limit_choice', 'reading_way', 'typed_draft'] as const;

/** The site's points in tree order. */
export async function listPoints(db: Db, siteId: number): Promise<PointSetup[]> {
  const rows = await db
    .selectFrom('point')
    .selectAll('point')
    .select((eb) =>
      eb
        .exists(
          eb
            .selectFrom('sweep')
            .select(sql`1`.as('one'))
            .whereRef('sweep.site_id', '=', 'point.site_id')
            .whereRef('sweep.point_id', '=', 'point.point_id'),
        )
        .as('hasSweeps'),
    )
    .where('site_id', '=', siteId)
    .orderBy('point_id')
    .execute();
  return inTreeOrder(rows.map((row) => ({ ...pointOfRow(row), hasSweeps: Boolean(row.hasSweeps) })));
}

/** One point as it is set up; null when the site has none such. */
export async function findPoint(
  db: Db,
  siteId: number,
  pointId: number,
): Promise<Omit<PointSetup, 'hasSweeps'> | null> {
  const row = await db
    .selectFrom('point')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .executeTakeFirst();
  return row ? pointOfRow(row) : null;
}

/** Throws InvalidInput when the tree would no longer be sound, or the name is taken. */
export function addPoint(db: Db, siteId: number, point: PointFields): Promise<number> {
  return changingTree(db, siteId, async (trx, others) => {
    refuse({ ...treeFaults({ ...point, pointId: null }, others), ...windowFaults(point) });
    const { point_id } = await trx
      .insertInto('point')
      .values({ ...(rowOfPoint(point) as NewPoint), site_id: siteId })
      .returning('point_id')
      .executeTakeFirstOrThrow()
      .catch(explainTakenName);
    return point_id;
  });
}

/** What the engine goes by: when one of these changes, it judges the site's whole history again. */
export const JUDGED_BY = ['kind', 'fedBy', 'correctsItself', 'correctionWindowDb'] as const;

/** Changes what `change` names. */
export function changePoint(db: Db, siteId: number, pointId: number, change: ChangePoint): Promise<void> {
  return changingTree(db, siteId, async (trx, points) => {
    const before = points.find((point) => point.pointId === pointId);
    if (!before) throw new NotFound('point', pointId);
    if (Object.keys(change).length === 0) return;

    const after = { ...before, ...change } as PointFields & { pointId: number };
    const others = points.filter((point) => point.pointId !== pointId);
    refuse({ ...treeFaults(after, others), ...windowFaults(after) });
    await trx
      .updateTable('point')
      .set(rowOfPoint(change))
      .where('site_id', '=', siteId)
      .where('point_id', '=', pointId)
      .execute()
      .catch(explainTakenName);
    if (JUDGED_BY.some((field) => after[field] !== before[field])) {
      await announceChange(trx, siteId, [pointId], ALL_HISTORY_MS);
    }
  });
}

/** Removes a point that has no sweeps and no probe, and feeds no other. Throws 409 otherwise. */
export function removePoint(db: Db, siteId: number, pointId: number): Promise<void> {
  return changingTree(db, siteId, async (trx) => {
    const point = (await listPoints(trx, siteId)).find((candidate) => candidate.pointId === pointId);
    if (!point) throw new NotFound('point', pointId);
    if (point.hasSweeps) {
      throw new ApiError(
        409,
        'point-has-sweeps',
        `point ${point.name} has sweeps, and readings are kept`,
        'rename it instead',
      );
    }
    const fed = await trx
      .selectFrom('point')
      .select('name')
      .where('site_id', '=', siteId)
      .where('fed_by', '=', pointId)
      .execute();
    if (fed.length > 0) {
      const names = fed.map(({ name }) => name).join(', ');
      throw new ApiError(
        409,
        'point-feeds-others',
        `point ${point.name} feeds ${names}`,
        'have them fed by another point first',
      );
    }
    await refuseIfRead(trx, siteId, point);
    for (const table of DEPENDENTS) {
      await trx.deleteFrom(table).where('site_id', '=', siteId).where('point_id', '=', pointId).execute();
    }
    await trx.deleteFrom('point').where('site_id', '=', siteId).where('point_id', '=', pointId).execute();
  });
}

async function refuseIfRead(trx: Trx, siteId: number, { pointId, name }: PointSetup): Promise<void> {
  const probes = await trx
    .selectFrom('probe')
    .select('name')
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .execute();
  if (probes.length === 0) return;
  const names = probes.map((probe) => probe.name).join(', ');
  throw new ApiError(409, 'point-has-probes', `point ${name} is read by ${names}`, 'remove its probes first');
}

/** Changes of one site's tree take turns: two at once could each be sound and together not. */
function changingTree<T>(
  db: Db,
  siteId: number,
  change: (trx: Trx, points: PointFieldsWithId[]) => Promise<T>,
): Promise<T> {
  return inTransaction(db, async (trx) => change(trx, await lockTree(trx, siteId)));
}

/** The site's points, with the site's row locked until the transaction ends. Throws 404 for a site that isn't there. */
export async function lockTree(trx: Trx, siteId: number): Promise<PointFieldsWithId[]> {
  const site = await trx
    .selectFrom('site')
    .select('site_id')
    .where('site_id', '=', siteId)
    .forUpdate()
    .executeTakeFirst();
  if (!site) throw new NotFound('site', siteId);
  const rows = await trx.selectFrom('point').selectAll().where('site_id', '=', siteId).execute();
  return rows.map(pointOfRow);
}

export type PointFieldsWithId = PointFields & { pointId: number };

function refuse(faults: Record<string, string>): void {
  if (Object.keys(faults).length > 0) throw new InvalidInput(faults);
}

export function windowFaults({
  correctsItself,
  correctionWindowDb,
}: Pick<PointFields, 'correctsItself' | 'correctionWindowDb'>): Record<string, string> {
  if (!correctsItself || correctionWindowDb !== null) return {};
  return {
    correctionWindowDb: 'is missing: give half the width of the window that the gear corrects in, dB',
  };
}

function explainTakenName(error: unknown): never {
  if (isUniqueViolation(error))
    throw new InvalidInput({ name: 'is taken by another point of the site: choose another' });
  throw error;
}

export function pointOfRow(row: Point): Omit<PointSetup, 'hasSweeps'> {
  return {
    pointId: row.point_id,
    name: row.name,
    label: row.label,
    kind: row.kind,
    fedBy: row.fed_by,
    outlets: row.outlets,
    intervalS: row.interval_s,
    correctsItself: row.corrects_itself,
    correctionWindowDb: row.correction_window_db,
    hopNote: row.hop_note,
    createdAt: row.created_at.toISOString(),
  };
}

/** Columns for the fields that are there. */
export function rowOfPoint(point: ChangePoint): Partial<NewPoint> {
  const { name, label, kind, outlets } = point;
  const row = {
    name,
    label,
    kind,
    outlets,
    fed_by: point.fedBy,
    interval_s: point.intervalS,
    corrects_itself: point.correctsItself,
    correction_window_db: point.correctionWindowDb,
    hop_note: point.hopNote,
  };
  return Object.fromEntries(Object.entries(row).filter(([, value]) => value !== undefined));
}
