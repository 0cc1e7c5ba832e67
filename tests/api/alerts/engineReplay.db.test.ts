import { beforeAll, expect, test } from 'vitest';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import { announceChange } from '../../../ingest/store/announceChange.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { DAY_MS, deliver, HISTORY_START_MS, history, makeSite } from '../engine/engineSite.ts';
import { alertsOf, changesOf } from './alertSite.ts';

const database = withDatabase();
const DAYS = 30;

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

/** A step of the feed, a drift, a lost channel that comes back and a new meter; the sweeps come in day by day. */
test('the engine’s own findings become alerts, and no replay closes one, raises one or renames one', async () => {
  const { db, pool } = database;
  const site = await makeSite(db);
  const sweeps = history(3, DAYS);
  const pass = (nowMs: number) => runEnginePass({ db, pool }, { nowMs });
  const late = sweeps.filter(({ atMs }) => Math.floor((atMs - HISTORY_START_MS) / DAY_MS) === 18);
  for (let day = 0; day < DAYS; day++) {
    const ofDay = sweeps.filter(({ atMs }) => Math.floor((atMs - HISTORY_START_MS) / DAY_MS) === day);
    if (day !== 18) await deliver(pool, site, ofDay);
    await pass(HISTORY_START_MS + (day + 1) * DAY_MS);
  }
  const nowMs = HISTORY_START_MS + DAYS * DAY_MS + 60_000;
  await pass(nowMs);
  const before = await told(site.siteId);
  const keys = before.map(({ key, state }) => `${key}: ${state}`);
  expect(keys).toContain('1 shift level down: active-unacknowledged');
  expect(keys).toContain('2 shift level down: active-unacknowledged');
  expect(keys).toContain('2 channel-lost channels: returned-unacknowledged');

  await announceChange(db, site.siteId, site.pointIds, 0);
  await pass(nowMs + 120_000);
  expect(await told(site.siteId)).toEqual(before);

  await deliver(pool, site, late);
  await pass(nowMs + 240_000);
  expect(await told(site.siteId)).toEqual(before);
}, 120_000);

async function told(siteId: number) {
  const alerts = await alertsOf(database.db, siteId);
  return Promise.all(
    alerts.map(async ({ alert_id, cause_key, state }) => ({
      alertId: alert_id,
      key: cause_key,
      state,
      changes: await changesOf(database.db, alert_id),
    })),
  );
}
