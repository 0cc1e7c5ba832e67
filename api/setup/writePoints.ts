import type { Transaction } from 'kysely';
import { announceChange } from '../../ingest/store/announceChange.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { Database, NewPoint } from '../../ingest/store/schema.ts';
import { InvalidInput } from '../errors.ts';
import { ALL_HISTORY_MS } from './allHistory.ts';
import { type PointEntry, type ResolvedEntry, resolveEntries } from './pointEntries.ts';
import { JUDGED_BY, lockTree, type PointFieldsWithId, rowOfPoint } from './points.ts';

/**
 * Adds several points at once, feeders by name: all of them or, where one is wrong, none. Names that are taken are refused.
 *
 * @returns their numbers, feeders first
 */
export function addPoints(db: Db, siteId: number, entries: readonly PointEntry[]): Promise<number[]> {
  return inTransaction(db, async (trx) => {
    const known = await lockTree(trx, siteId);
    const { points, faults } = resolveEntries(entries, known);
    const taken = entries.flatMap(({ name }, index) =>
      known.some((point) => point.name === name)
        ? [
            {
              index,
              field: 'name' as const,
              problem: 'is taken by another point of the site: choose another',
            },
          ]
        : [],
    );
    const wrong = [...taken, ...faults];
    if (wrong.length > 0) {
      throw new InvalidInput(
        Object.fromEntries(wrong.map(({ index, field, problem }) => [`points.${index}.${field}`, problem])),
      );
    }
    return writePoints(trx, siteId, points, known);
  });
}

/**
 * Writes resolved entries of a locked tree: new points level by level, changes one by one. Where something that the engine goes
 * by has changed, it judges the point's whole history again.
 *
 * @param points feeders first
 * @returns numbers of the points in the order given
 */
export async function writePoints(
  trx: Transaction<Database>,
  siteId: number,
  points: readonly ResolvedEntry[],
  known: readonly PointFieldsWithId[],
): Promise<number[]> {
  const ids = new Map(known.map(({ name, pointId }) => [name, pointId]));
  const idOf = (name: string | null): number | null => (name === null ? null : ids.get(name)!);

  let fresh = points.filter(({ before }) => before === null);
  while (fresh.length > 0) {
    const ready = fresh.filter(({ fedBy }) => fedBy === null || ids.has(fedBy));
    const rows = ready.map(({ after, fedBy }) => ({
      ...(rowOfPoint({ ...after, fedBy: idOf(fedBy) }) as NewPoint),
      site_id: siteId,
    }));
    const added = await trx.insertInto('point').values(rows).returning(['point_id', 'name']).execute();
    for (const { point_id, name } of added) ids.set(name, point_id);
    fresh = fresh.filter((entry) => !ready.includes(entry));
  }

  const judgedAnew: number[] = [];
  for (const { before, after, fedBy } of points) {
    if (before === null) continue;
    const change = { ...after, fedBy: idOf(fedBy) };
    await trx
      .updateTable('point')
      .set(rowOfPoint(change))
      .where('site_id', '=', siteId)
      .where('point_id', '=', before.pointId)
      .execute();
    if (JUDGED_BY.some((field) => change[field] !== before[field])) judgedAnew.push(before.pointId);
  }
  await announceChange(trx, siteId, judgedAnew, ALL_HISTORY_MS);
  return points.map(({ after }) => ids.get(after.name)!);
}
