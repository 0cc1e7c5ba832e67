import { beforeAll, expect, test } from 'vitest';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { conclusions, DAY_MS, deliver, HISTORY_START_MS, history, makeSite } from './engineSite.ts';

const database = withDatabase();
const NOW_MS = HISTORY_START_MS + 40 * DAY_MS;

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

test('a site whose state can’t be read keeps no other waiting, and its news stays', async () => {
  const [broken, sound] = [await makeSite(database.db), await makeSite(database.db)];
  await database.pool.query(`insert into site_state values ($1, '2026-01-01', '"nonsense"')`, [
    broken.siteId,
  ]);
  for (const site of [broken, sound]) await deliver(database.pool, site, history(3, 2));

  const failed = await runEnginePass(database, { nowMs: NOW_MS }).catch((error: AggregateError) => error);
  expect(failed).toBeInstanceOf(AggregateError);
  expect((failed as AggregateError).message).toMatch(new RegExp(`^site ${broken.siteId}: [^;]*$`));
  expect((await conclusions(database.pool, sound)).states).toHaveLength(2);
  const { rows } = await database.pool.query('select distinct site_id from arrival');
  expect(rows).toEqual([{ site_id: broken.siteId }]);
});
