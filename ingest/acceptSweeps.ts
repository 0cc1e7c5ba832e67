import type pg from 'pg';
import type { CheckedSweep, IngestAnswer, Rejection } from './contract/checkedSweep.ts';
import { checkSweep } from './contract/checkSweep.ts';
import { INGEST_LIMITS, type IngestLimits } from './contract/limits.ts';
import type { Db } from './store/database.ts';
import { createGrids } from './store/grids.ts';
import { type Alongside, identityOf, insertSweeps, type PlacedSweep } from './store/insertSweeps.ts';
import { createPartitions } from './store/partitions.ts';
import { recordRejections } from './store/recordRejections.ts';

/**
 * The way in for sweeps, without HTTP: each element of `sweeps` is one of the contract's objects, unchecked. `alongside` is done
 * only when one of them is new.
 */
export type AcceptSweeps = (
  siteId: number,
  sweeps: readonly unknown[],
  nowMs: number,
  alongside?: Alongside,
) => Promise<IngestAnswer>;

const NAMED_POINTS = 10;
/** PostgreSQL: no partition of relation found for row. */
const NO_PARTITION = '23514';

/**
 * Makes the one function through which every sweep comes in. It checks each against the contract, stores the good
 * ones of the batch in one transaction, and answers after the commit. A bad one never blocks its neighbours.
 */
export function createAcceptSweeps(deps: {
  readonly db: Db;
  readonly pool: pg.Pool;
  readonly limits?: IngestLimits;
}): AcceptSweeps {
  const { db, pool, limits = INGEST_LIMITS } = deps;
  const grids = createGrids(db);
  const partitions = createPartitions(db);

  return async function acceptSweeps(siteId, sweeps, nowMs, alongside) {
    const rejected: Rejection[] = [];
    const checked = checkAll(sweeps, nowMs, limits, rejected);
    const points = checked.length === 0 ? new Map<string, number>() : await pointsOf(db, siteId);
    const unique = withoutRepeats(placePoints(checked, points, rejected), rejected);

    const gridIds = await grids.idsOf(
      siteId,
      unique.sweeps.map((sweep) => sweep.freqHz),
    );
    const placed: PlacedSweep[] = unique.sweeps.map((sweep, i) => ({ ...sweep, gridId: gridIds[i]! }));
    const { fresh, conflicting } = await store(siteId, placed, nowMs, alongside);
    for (const sweep of conflicting) rejected.push(conflict(sweep.index));

    rejected.sort((a, b) => a.index - b.index);
    await recordRejections(db, siteId, sweeps, rejected, nowMs);
    return {
      accepted: fresh.length,
      duplicates: unique.repeats + placed.length - fresh.length - conflicting.length,
      rejected,
    };
  };

  async function store(
    siteId: number,
    placed: readonly PlacedSweep[],
    nowMs: number,
    alongside: Alongside | undefined,
  ) {
    if (placed.length === 0) return { fresh: [], conflicting: [] };
    const times = placed.map((sweep) => sweep.atMs);
    await partitions.ensure(times);
    try {
      return await insertSweeps(pool, siteId, placed, nowMs, alongside);
    } catch (error) {
      if ((error as { code?: string }).code !== NO_PARTITION) throw error;
      // Retention dropped a month that this process still took for present.
      partitions.forget();
      await partitions.ensure(times);
      return insertSweeps(pool, siteId, placed, nowMs, alongside);
    }
  }
}

function checkAll(
  sweeps: readonly unknown[],
  nowMs: number,
  limits: IngestLimits,
  rejected: Rejection[],
): CheckedSweep[] {
  const checked: CheckedSweep[] = [];
  for (let index = 0; index < sweeps.length; index++) {
    const result = checkSweep(sweeps[index], index, nowMs, limits);
    if ('reason' in result) rejected.push(result);
    else checked.push(result);
  }
  return checked;
}

async function pointsOf(db: Db, siteId: number): Promise<Map<string, number>> {
  const rows = await db
    .selectFrom('point')
    .select(['name', 'point_id'])
    .where('site_id', '=', siteId)
    .orderBy('point_id')
    .execute();
  return new Map(rows.map((row) => [row.name, row.point_id]));
}

function placePoints(
  checked: readonly CheckedSweep[],
  points: ReadonlyMap<string, number>,
  rejected: Rejection[],
): (CheckedSweep & { pointId: number })[] {
  const placed: (CheckedSweep & { pointId: number })[] = [];
  for (const sweep of checked) {
    const pointId = points.get(sweep.point);
    if (pointId === undefined) rejected.push(unknownPoint(sweep, points));
    else placed.push({ ...sweep, pointId });
  }
  return placed;
}

/** Within one request too, the first of an identity is kept: repeats are duplicates, or conflicts if they differ. */
function withoutRepeats<T extends CheckedSweep & { pointId: number }>(
  placed: readonly T[],
  rejected: Rejection[],
): { sweeps: T[]; repeats: number } {
  const first = new Map<string, T>();
  let repeats = 0;
  for (const sweep of placed) {
    const identity = identityOf(sweep.pointId, sweep.atMs, sweep.instrument);
    const kept = first.get(identity);
    if (kept === undefined) first.set(identity, sweep);
    else if (sameReadings(kept, sweep)) repeats++;
    else rejected.push(conflict(sweep.index));
  }
  return { sweeps: [...first.values()], repeats };
}

function sameReadings(a: CheckedSweep, b: CheckedSweep): boolean {
  return (
    a.level === b.level &&
    a.mer === b.mer &&
    a.cnr === b.cnr &&
    a.berPre === b.berPre &&
    a.berPost === b.berPost &&
    a.lost === b.lost &&
    a.ambientCc === b.ambientCc &&
    a.freqHz.join() === b.freqHz.join()
  );
}

function unknownPoint(sweep: CheckedSweep, points: ReadonlyMap<string, number>): Rejection {
  const names = [...points.keys()].slice(0, NAMED_POINTS).join(', ');
  const known =
    names === ''
      ? 'it has no points yet'
      : `its points are ${names}${points.size > NAMED_POINTS ? ', …' : ''}`;
  return {
    index: sweep.index,
    path: `sweeps[${sweep.index}].point`,
    reason: `the site has no point of that name: ${known}`,
  };
}

function conflict(index: number): Rejection {
  return {
    index,
    path: `sweeps[${index}]`,
    reason:
      'a sweep of the same point, time and instrument is stored with other numbers: the first is kept; give a second reading a time of its own',
  };
}
