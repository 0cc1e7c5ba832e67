import { expect, test } from 'vitest';
import type { AlertPage, OneAlertView } from '../../api/schemas/alerts.ts';
import { ok } from '../support/answers.ts';
import { givenRule, givenTarget } from '../support/givenAlerts.ts';
import { givenPlan } from '../support/givenSite.ts';
import { withApp } from '../support/testApp.ts';
import { givenServerAtWork } from './serverAtWork.ts';
import {
  acceptBaselines,
  boxSends,
  givenSweptBuilding,
  type SweptBuilding,
  WELL_DBMV,
} from './sweptBuilding.ts';

const levelkeep = withApp();
const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const FROM_MS = Date.parse('2026-03-02T06:00:00Z');
const SITES = 60;
const ACCEPTED_MS = FROM_MS + 24 * HOUR_MS;
const FELL_MS = ACCEPTED_MS + HOUR_MS;
const MENDED_MS = FELL_MS + 3 * HOUR_MS;
const FALL_DB = -7;

/** All sites of the provider hang on one feed. */
const levelAt = (_point: string, _mhz: number, atMs: number) =>
  WELL_DBMV['handoff']! + (atMs >= FELL_MS && atMs < MENDED_MS ? FALL_DB : 0);

const read = async <T>(path: string) => ok<T>(await levelkeep.send('technician', 'GET', path));

test('a feed that falls at 60 sites is one alert and one message, and ends when the feed is mended', {
  timeout: 200_000,
}, async () => {
  const { db } = levelkeep;
  levelkeep.nowMs = FROM_MS;
  const server = await givenServerAtWork(levelkeep);
  const rosa = await givenTarget(db, 'Rosa');
  await givenRule(db, FROM_MS, { steps: [{ afterMin: 0, targetIds: [rosa] }] });
  const { provider_id } = await db
    .insertInto('provider')
    .values({ name: 'Marren Valley Feed' })
    .returning('provider_id')
    .executeTakeFirstOrThrow();
  const plan_id = await givenPlan(db);
  const buildings: SweptBuilding[] = [];
  for (let i = 0; i < SITES; i++) {
    const site = { name: `House ${i + 1}`, plan_id, provider_id };
    buildings.push(await givenSweptBuilding(levelkeep, site, HOUR_MS, ['handoff']));
  }

  /** Each box sweeps once an hour, ten of them at a time. */
  const runUntil = (untilMs: number) =>
    server.runUntil(untilMs, 10 * MINUTE_MS, async (atMs) => {
      const turn = (atMs % HOUR_MS) / (10 * MINUTE_MS);
      for (const [i, building] of buildings.entries())
        if (i % 6 === turn) await boxSends(levelkeep, building, [atMs], levelAt);
    });
  /** What every box has read since it last sent, in one request each. */
  const catchUp = (fromMs: number, toMs: number) =>
    server.runUntil(toMs + 10 * MINUTE_MS, 10 * MINUTE_MS, async () => {
      for (const [i, building] of buildings.entries())
        await boxSends(levelkeep, building, hourly(fromMs + (i % 6) * 10 * MINUTE_MS, toMs), levelAt);
    });

  levelkeep.nowMs = ACCEPTED_MS;
  await catchUp(FROM_MS, ACCEPTED_MS);
  levelkeep.nowMs = ACCEPTED_MS;
  for (const building of buildings) await acceptBaselines(levelkeep, building, FROM_MS, ACCEPTED_MS);
  await runUntil(MENDED_MS);

  const told = (await read<AlertPage>('/api/alerts')).rows;
  expect(told).toMatchObject([
    {
      kind: 'provider-event',
      sites: SITES,
      outlets: 40 * SITES,
      side: 'provider',
      state: 'active-unacknowledged',
    },
  ]);
  const { alertId } = told[0]!;
  expect(told[0]!.title).toContain(`level fell by about 7.0 dB at the handoff of ${SITES} sites`);
  const { members } = await read<OneAlertView>(`/api/alerts/${alertId}`);
  expect(members).toHaveLength(SITES);
  expect(members.every(({ shows }) => shows)).toBe(true);
  const own = (await read<AlertPage>(`/api/alerts?state=suppressed&limit=${2 * SITES}`)).rows;
  expect(own.map(({ siteId }) => siteId).toSorted()).toEqual(
    buildings.map(({ siteId }) => siteId).toSorted(),
  );
  expect(own.every(({ partOf }) => partOf === alertId)).toBe(true);
  expect(server.subjects()).toEqual([
    expect.stringMatching(/^Warning: Marren Valley Feed: level fell by about 7\.0 dB/),
  ]);

  await runUntil(MENDED_MS + 2 * HOUR_MS);
  levelkeep.nowMs = MENDED_MS + 7 * HOUR_MS;
  await catchUp(MENDED_MS + 2 * HOUR_MS, levelkeep.nowMs);
  const after = await read<OneAlertView>(`/api/alerts/${alertId}`);
  expect(after).toMatchObject({ state: 'returned-unacknowledged', sites: SITES });
  expect(after.changes.map(({ kind }) => kind)).toEqual(['raised', 'returned']);
  expect(after.members.filter(({ shows }) => shows)).toEqual([]);
  expect(server.subjects()).toEqual([
    expect.stringMatching(/^Warning: Marren Valley Feed: level fell/),
    expect.stringMatching(/^Back to normal: Marren Valley Feed: level fell/),
  ]);
  const { total, states } = await read<AlertPage>('/api/alerts');
  expect(total).toBe(1);
  expect(states).toMatchObject({ normal: SITES, suppressed: 0, 'active-unacknowledged': 0 });
});

/** Hourly moments from the first on, up to but not at the second. */
function hourly(fromMs: number, toMs: number): number[] {
  return Array.from({ length: Math.ceil((toMs - fromMs) / HOUR_MS) }, (_, i) => fromMs + i * HOUR_MS);
}
