import { expect, test } from 'vitest';
import { levelRanges } from '../../../api/limits/levelRanges.ts';
import { givenPoint, givenSite } from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const HOUR_MS = 3_600_000;
const LAST_MS = Date.parse('2026-11-02T12:00:00Z');

/** A point whose hours read so, the last one at 11:00. */
async function givenHours(levelsDbmv: readonly number[]): Promise<{ siteId: number; pointId: number }> {
  const { db } = database;
  const siteId = await givenSite(db);
  const pointId = await givenPoint(db, siteId, { name: 'outlet' });
  await db
    .insertInto('point_state')
    .values({ site_id: siteId, point_id: pointId, last_at: new Date(LAST_MS) })
    .execute();
  await db
    .insertInto('hourly')
    .values(
      levelsDbmv.map((level_dbmv, i) => ({
        site_id: siteId,
        point_id: pointId,
        hour: new Date(LAST_MS - HOUR_MS * (levelsDbmv.length - i)),
        sweeps: 4,
        level_dbmv,
      })),
    )
    .execute();
  return { siteId, pointId };
}

test('a day and half a year are told from hours, and the farthest one at either end is left out', async () => {
  const day = [10, 10.2, 17, 10.4, 9.8, 10.1];
  const { siteId, pointId } = await givenHours([14, 14.5, ...Array.from({ length: 20 }, () => 10), ...day]);
  const ranges = (await levelRanges(database.db, siteId, null, LAST_MS + 9 * HOUR_MS)).get(pointId)!;
  // Of the last 24 hours the second lowest reads 10, the second highest 10.4; before them lies 14.5 and 14.
  expect(ranges.dayDb).toBeCloseTo(0.4, 5);
  expect(ranges.halfYearDb).toBeCloseTo(14.5 - 10, 5);
  expect(ranges.hourDb).toBeNull();
});

test('an earlier moment is judged by what was read until then', async () => {
  const { siteId, pointId } = await givenHours([10, 11, 12, 13, 20, 20, 20, 20]);
  const until = async (atMs: number) =>
    (await levelRanges(database.db, siteId, pointId, atMs)).get(pointId)!.dayDb;
  expect(await until(LAST_MS - 5 * HOUR_MS)).toBeCloseTo(1, 5);
  expect(await until(LAST_MS - 6 * HOUR_MS)).toBeNull();
  expect(await until(LAST_MS)).toBeCloseTo(9, 5);
});
