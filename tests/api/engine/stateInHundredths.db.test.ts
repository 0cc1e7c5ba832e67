import type { Kysely } from 'kysely';
import { beforeAll, expect, test } from 'vitest';
import { packTrend, unpackTrend } from '../../../api/engine/packedTrend.ts';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import type { PointTrend } from '../../../api/trend/state.ts';
import type { Features } from '../../../api/trend/types.ts';
import { up } from '../../../ingest/store/migrations/0017_state_in_hundredths.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { DAY_MS, deliver, HISTORY_START_MS, history, makeSite } from './engineSite.ts';

const database = withDatabase();

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

const inDb = (list: readonly (number | null)[]) => list.map((value) => (value === null ? null : value / 100));

/** The form that states had before. */
function before(point: PointTrend): unknown {
  const eachInDb = (lists: Features<(number | null)[]>) =>
    Object.fromEntries(Object.entries(lists).map(([name, list]) => [name, inDb(list)]));
  const { meanCdb, ...history } = point.history;
  const { cdb, ...block } = point.block!;
  const { cleared: _cleared, ...rest } = point;
  return {
    ...rest,
    history: { ...history, values: eachInDb(meanCdb), ambient: inDb(history.ambient) },
    block: { ...block, values: eachInDb(cdb), ambient: inDb(block.ambient) },
  };
}

test('states and checkpoints of the form before go on as those of now', async () => {
  const { db, pool } = database;
  const site = await makeSite(db);
  await deliver(pool, site, history(5, 12));
  await runEnginePass({ db, pool }, { nowMs: HISTORY_START_MS + 12 * DAY_MS });
  const states = async () =>
    (await pool.query('select point_id, state from point_state where site_id = $1 order by 1', [site.siteId]))
      .rows;
  const checkpoints = async () =>
    (
      await pool.query('select at, state from checkpoint where site_id = $1 order by 1', [site.siteId])
    ).rows.map(({ at, state }) => ({ at, trend: unpackTrend(state) }));
  const now = { states: await states(), checkpoints: await checkpoints() };
  expect(now.states.every(({ state }) => state.history.meanCdb.level.length > 30)).toBe(true);
  expect(now.checkpoints.length).toBeGreaterThan(5);

  for (const { point_id, state } of now.states)
    await pool.query('update point_state set state = $3 where site_id = $1 and point_id = $2', [
      site.siteId,
      point_id,
      JSON.stringify(before(state)),
    ]);
  for (const { at, trend } of now.checkpoints) {
    const points = Object.fromEntries(Object.entries(trend.points).map(([id, point]) => [id, before(point)]));
    await pool.query('update checkpoint set state = $3 where site_id = $1 and at = $2', [
      site.siteId,
      at,
      packTrend({ ...trend, version: 2, points } as never),
    ]);
  }

  await up(db as unknown as Kysely<unknown>);
  expect(await states()).toEqual(now.states);
  expect(await checkpoints()).toEqual(now.checkpoints);
});
