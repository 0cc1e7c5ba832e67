import { beforeAll, expect, test } from 'vitest';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import { announceChange } from '../../../ingest/store/announceChange.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import {
  conclusions,
  DAY_MS,
  deliver,
  HISTORY_START_MS,
  history,
  makeBaseline,
  makeSite,
} from './engineSite.ts';

const database = withDatabase();
const NOW_MS = HISTORY_START_MS + 40 * DAY_MS;

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

test('a baseline that is accepted later is taken in from the day it takes effect', async () => {
  const site = await makeSite(database.db);
  const handoff = site.pointIds[0]!;
  await deliver(database.pool, site, history(9, 25));
  await runEnginePass(database, { nowMs: NOW_MS });
  expect(await openSteps(site)).toHaveLength(1);

  const takesEffectMs = HISTORY_START_MS + 16 * DAY_MS;
  await makeBaseline(database.db, site.siteId, handoff, 2, takesEffectMs, 17);
  await announceChange(database.db, site.siteId, [handoff], takesEffectMs);
  await runEnginePass(database, { nowMs: NOW_MS });

  expect(await openSteps(site)).toEqual([]);
  const { hours, findings } = await conclusions(database.pool, site);
  const step = findings.find(({ kind, point_id }) => kind === 'step' && point_id === handoff);
  expect(step.closed_at.getTime()).toBeGreaterThanOrEqual(takesEffectMs);
  expect(step.evidence.closedBy).toBe('baseline 2');
  const last = hours.filter(({ point_id }) => point_id === handoff).at(-1);
  expect(Math.abs(last.level_dev_db)).toBeLessThan(0.8);
});

async function openSteps(site: { siteId: number; pointIds: number[] }) {
  const { findings } = await conclusions(database.pool, site);
  return findings.filter(
    ({ kind, point_id, closed_at }) => kind === 'step' && point_id === site.pointIds[0] && closed_at === null,
  );
}
