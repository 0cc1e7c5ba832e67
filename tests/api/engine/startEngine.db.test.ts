import { setTimeout as sleep } from 'node:timers/promises';
import { pino } from 'pino';
import { beforeAll, expect, test } from 'vitest';
import { startEngine } from '../../../api/engine/startEngine.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { conclusions, deliver, history, makeSite } from './engineSite.ts';

const database = withDatabase();

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

test('the engine thread takes in what arrives, ranks the site, and stops when it is asked to', async () => {
  const site = await makeSite(database.db);
  const engine = startEngine({ url: database.url, log: pino({ level: 'silent' }) });
  const sweeps = history(7, 20);
  await deliver(database.pool, site, sweeps.slice(0, 100));
  await deliver(database.pool, site, sweeps.slice(100));

  await expect.poll(() => arrivals(), { timeout: 20_000 }).toBe(0);
  await expect
    .poll(() => database.db.selectFrom('site_risk').selectAll().execute(), { timeout: 20_000 })
    .toHaveLength(1);
  const { findings, states } = await conclusions(database.pool, site);
  expect(findings.map(({ kind }) => kind)).toContain('step');
  expect(states).toHaveLength(2);

  await engine.stop();
  await deliver(database.pool, site, history(7, 21).slice(sweeps.length));
  await sleep(700);
  expect(await arrivals()).toBe(2);
});

async function arrivals(): Promise<number> {
  const { rows } = await database.pool.query('select count(*)::int as count from arrival');
  return rows[0].count;
}
