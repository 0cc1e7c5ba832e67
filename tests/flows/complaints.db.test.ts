import { expect, test } from 'vitest';
import type { AlertPage } from '../../api/schemas/alerts.ts';
import type { ComplaintFigures, Complaints, NewComplaint } from '../../api/schemas/complaints.ts';
import { ok } from '../support/answers.ts';
import { givenPlan } from '../support/givenSite.ts';
import { withApp } from '../support/testApp.ts';
import { givenServerAtWork } from './serverAtWork.ts';
import { acceptBaselines, boxSends, givenSweptBuilding, type LevelAt, WELL_DBMV } from './sweptBuilding.ts';

const levelkeep = withApp();
const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const FROM_MS = Date.parse('2026-03-02T06:00:00Z');
const ACCEPTED_MS = FROM_MS + 48 * HOUR_MS;
const FELL_MS = ACCEPTED_MS + 12 * HOUR_MS;

/** From one sweep to the next the outlet lies 6 dB lower. */
const levelAt: LevelAt = (point, _, atMs) =>
  WELL_DBMV[point]! - (point === 'outlet' && atMs >= FELL_MS ? 6 : 0);

const read = async <T>(path: string) => ok<T>(await levelkeep.send('technician', 'GET', path));

test('a complaint that came first counts as not seen or below notice, one after the alert as warned before', async () => {
  const { db } = levelkeep;
  levelkeep.nowMs = FROM_MS;
  const server = await givenServerAtWork(levelkeep);
  const building = await givenSweptBuilding(
    levelkeep,
    { name: 'Mill House', plan_id: await givenPlan(db) },
    HOUR_MS,
  );
  const { siteId, pointIds } = building;
  const runUntil = (untilMs: number) =>
    server.runUntil(untilMs, HOUR_MS, (atMs) => boxSends(levelkeep, building, [atMs], levelAt));
  const complain = async (atMs: number) => {
    levelkeep.nowMs = atMs;
    const said: NewComplaint = { symptom: 'breaks-up', pointId: pointIds['outlet']!, outlet: 'Flat 4B' };
    await ok(await levelkeep.send('technician', 'POST', `/api/sites/${siteId}/complaints`, said));
  };
  /** Oldest first. */
  const judged = async () =>
    (await read<Complaints>(`/api/complaints?site=${siteId}`)).complaints
      .toReversed()
      .map(({ judgement }) => judgement);

  await runUntil(ACCEPTED_MS);
  await acceptBaselines(levelkeep, building, FROM_MS, ACCEPTED_MS);
  await runUntil(FELL_MS);
  // Between two sweeps the fall may have come at any moment, and is taken to have come in the middle.
  await complain(FELL_MS - 45 * MINUTE_MS);
  expect(await judged()).toMatchObject([{ verdict: 'not-seen', read: true, by: null }]);

  levelkeep.nowMs = FELL_MS;
  await runUntil(FELL_MS + HOUR_MS);
  await complain(FELL_MS + 20 * MINUTE_MS);
  expect((await read<AlertPage>('/api/alerts')).rows).toEqual([]);
  const first = (await judged())[1]!;
  expect(first).toMatchObject({ verdict: 'below-notice', by: null, read: true });
  expect(first.deviationDb).toBeCloseTo(-6, 0);

  levelkeep.nowMs = FELL_MS + HOUR_MS;
  await runUntil(FELL_MS + 6 * HOUR_MS);
  const [alert] = (await read<AlertPage>('/api/alerts')).rows;
  expect(alert).toMatchObject({ siteId, side: 'building' });
  expect(alert!.title).toMatch(/^Level fell 6\.0 dB .* between riser and outlet$/);
  const complainedMs = Date.parse(alert!.raisedAt) + 9.5 * HOUR_MS;
  await runUntil(complainedMs);
  await complain(complainedMs);

  const [before, atOnce, after] = await judged();
  expect(before).toMatchObject({ verdict: 'not-seen', by: null });
  // The engine has confirmed it since, but nobody could have known when it was said.
  expect(atOnce).toMatchObject({ verdict: 'below-notice', leadHours: null, by: { source: 'finding' } });
  expect(after).toMatchObject({
    verdict: 'warned',
    leadHours: 9.5,
    by: { source: 'alert', alertId: alert!.alertId },
  });
  expect(await read<ComplaintFigures>('/api/complaint-figures')).toMatchObject({
    complaints: 3,
    warned: { hits: 1, of: 3 },
    byAlert: { hits: 1, of: 3 },
    belowNotice: 1,
    notSeen: 1,
    medianLeadHours: 9.5,
    months: [{ month: '2026-03', complaints: 3, belowNotice: 1, notSeen: 1 }],
  });
});
