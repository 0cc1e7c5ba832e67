import { sql } from 'kysely';
import { expect, test } from 'vitest';
import { createAcceptSweeps } from '../../../ingest/acceptSweeps.ts';
import { createPartitions, dropMonth, monthsBefore } from '../../../ingest/store/partitions.ts';
import { readSweeps } from '../../../ingest/store/readSweeps.ts';
import { aSweep } from '../../support/contractSweep.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const NOW = Date.parse('2026-03-02T00:00:00Z');

async function months(): Promise<string[]> {
  const { rows } = await sql<{ name: string }>`
    select inhrelid::regclass::text as name from pg_inherits where inhparent = 'sweep'::regclass order by 1`.execute(
    database.db,
  );
  return rows.map((row) => row.name);
}

test('ten servers that need the same months at once make each once', async () => {
  const times = [Date.parse('2025-12-31T23:59:59.999Z'), Date.parse('2026-01-01T00:00:00Z')];
  await Promise.all(Array.from({ length: 10 }, () => createPartitions(database.db).ensure(times)));

  expect(await months()).toEqual(['sweep_2025_12', 'sweep_2026_01']);
});

test('readings are left out of the statistics that the planner keeps', async () => {
  await createPartitions(database.db).ensure([Date.parse('2026-01-01T00:00:00Z')]);
  const { rows } = await sql<{ counted: boolean }>`
    select distinct attstattarget is distinct from 0 as counted
    from pg_attribute join pg_type on pg_type.oid = atttypid
    where attrelid = 'sweep_2026_01'::regclass and typcategory = 'A'`.execute(database.db);

  expect(rows).toEqual([{ counted: false }]);
});

test('a month that retention dropped is made again when a sweep needs it', async () => {
  const { site_id } = await database.db
    .insertInto('site')
    .values({ name: 'Alder Court', time_zone: 'America/Chicago', outlets: 1 })
    .returning('site_id')
    .executeTakeFirstOrThrow();
  const { point_id } = await database.db
    .insertInto('point')
    .values({ site_id, name: 'handoff', kind: 'handoff' })
    .returning('point_id')
    .executeTakeFirstOrThrow();
  const accept = createAcceptSweeps(database);
  await accept(site_id, [aSweep({ at: '2026-01-15T00:00:00Z' }), aSweep()], NOW);

  const gone = await monthsBefore(database.db, Date.parse('2026-03-01T00:00:00Z'));
  expect(gone.map(({ name }) => name)).toEqual(['sweep_2025_12', 'sweep_2026_01']);
  expect(gone[1]).toMatchObject({ fromMs: Date.UTC(2026, 0, 1), toMs: Date.UTC(2026, 1, 1) });
  for (const month of gone) await dropMonth(database.db, month);
  expect(await readSweeps(database.db, site_id, point_id, 0, NOW)).toHaveLength(1);
  expect(await accept(site_id, [aSweep({ at: '2026-01-15T00:00:00Z' })], NOW)).toMatchObject({ accepted: 1 });
});
