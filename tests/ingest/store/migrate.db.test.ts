import { expect, test } from 'vitest';
import { migrate } from '../../../ingest/store/migrate.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();

test('migrate(db) has nothing left to do on a migrated database', async () => {
  expect(await migrate(database.db)).toEqual([]);
});

test('a site and its handoff can be stored', async () => {
  const site = await database.db
    .insertInto('site')
    .values({ name: 'Alder Court', time_zone: 'America/Chicago', outlets: 120 })
    .returningAll()
    .executeTakeFirstOrThrow();

  expect(site.site_id).toBe(1);
});
