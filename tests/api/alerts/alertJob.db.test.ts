import { pino } from 'pino';
import { expect, test } from 'vitest';
import { shelve } from '../../../api/alerts/actions.ts';
import { ALERT_JOB } from '../../../api/alerts/alertJob.ts';
import { syncAlerts } from '../../../api/alerts/syncAlerts.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { OUTSIDE } from '../../support/outside.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { alertsOf, DAY, givenBuilding, HOUR } from './alertSite.ts';

const database = withDatabase();
const NOW = Date.parse('2026-11-12T12:00:00Z');

test('the job ends shelves though no sweep comes in, and may run twice', async () => {
  const { db, pool } = database;
  const here = await givenBuilding(db);
  await givenDrift(db, here.siteId, here.floor3, NOW - 10 * DAY);
  await syncAlerts(db, here.siteId, NOW);
  const [alert] = await alertsOf(db, here.siteId);
  await shelve(db, alert!.alert_id, { by: 'Ada', why: 'roof work', untilMs: NOW + DAY }, NOW);

  const run = (nowMs: number) =>
    ALERT_JOB.handle(
      { db, pool, now: () => nowMs, log: pino({ level: 'silent' }), enqueue: async () => {}, ...OUTSIDE },
      {},
      new AbortController().signal,
    );
  await run(NOW + HOUR);
  expect((await alertsOf(db, here.siteId))[0]!.state).toBe('shelved');
  await run(NOW + DAY);
  await run(NOW + DAY);
  expect((await alertsOf(db, here.siteId))[0]!.state).toBe('active-unacknowledged');
});
