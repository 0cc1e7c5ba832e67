import { expect, test } from 'vitest';
import { bandView } from '../../../api/baseline/bandView.ts';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import { letSweepsGo } from '../../../api/retention/letSweepsGo.ts';
import { announceChange } from '../../../ingest/store/announceChange.ts';
import { createPartitions } from '../../../ingest/store/partitions.ts';
import { aSweep, givenPlan, givenPoint, givenSite, givenSweeps } from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { conclusions, DAY_MS, deliver, HISTORY_START_MS, history, makeSite } from '../engine/engineSite.ts';

const database = withDatabase();
const APRIL_MS = Date.UTC(2026, 3, 1);

test('a month that is let go leaves medians of its days, which then and now shows as such', async () => {
  const { db } = database;
  const siteId = await givenSite(db, { plan_id: await givenPlan(db) });
  const pointId = await givenPoint(db, siteId, { name: 'outlet' });
  const dayMs = Date.UTC(2026, 1, 10);
  const levels = [9, 10, 40];
  const sweeps = levels.map((level, i) =>
    aSweep(dayMs + i * 3_600_000, {
      levelAt: (mhz) => (mhz === 111 && i < 2 ? null : level),
      lostMhz: i < 2 ? [111] : [],
      ...(i === 2 && { instrument: 'meter-2' }),
    }),
  );
  await givenSweeps(db, siteId, pointId, [...sweeps, aSweep(APRIL_MS)]);

  expect(await letSweepsGo(db, APRIL_MS - 31 * DAY_MS)).toEqual(['sweep_2026_02']);

  const view = await bandView(db, siteId, pointId, dayMs + 5 * DAY_MS);
  expect(view.now).toMatchObject({
    at: new Date(dayMs).toISOString(),
    instrument: 'meter-2, probe-7',
    medianOf: 3,
  });
  const byMhz = new Map(view.channels.map((each) => [each.freqMhz, each]));
  expect(byMhz.get(117)).toMatchObject({ nowLevelDbmv: 10, nowMerDb: 38, lost: false });
  expect(byMhz.get(111)).toMatchObject({ nowLevelDbmv: null, lost: true });
  expect((await bandView(db, siteId, pointId, APRIL_MS)).now).toMatchObject({ medianOf: null });
});

test('one that was stopped half-way goes on to the same medians', async () => {
  const { db } = database;
  const siteId = await givenSite(db);
  const pointIds = [
    await givenPoint(db, siteId, { name: 'one' }),
    await givenPoint(db, siteId, { name: 'two' }),
  ];
  for (const id of pointIds)
    await givenSweeps(db, siteId, id, [aSweep(Date.UTC(2025, 5, 3)), aSweep(Date.UTC(2025, 5, 4))]);
  const stopped = AbortSignal.abort();
  await expect(letSweepsGo(db, Date.UTC(2025, 6, 1), stopped)).rejects.toThrow();
  expect(await letSweepsGo(db, Date.UTC(2025, 6, 1))).toEqual(['sweep_2025_06']);

  const rows = await db
    .selectFrom('daily_median')
    .select(['point_id', 'sweeps'])
    .where('site_id', '=', siteId)
    .execute();
  expect(rows).toHaveLength(4);
  expect(await letSweepsGo(db, Date.UTC(2025, 6, 1))).toEqual([]);
});

test('what the engine concluded from sweeps that are gone stands, whatever is announced for that time', async () => {
  const { db, pool } = database;
  const sweeps = history(9, 58);
  await createPartitions(db).ensure(sweeps.map(({ atMs }) => atMs));
  const site = await makeSite(db);
  const pass = () => runEnginePass(database, { nowMs: HISTORY_START_MS + 60 * DAY_MS });
  for (let from = 0; from < sweeps.length; from += 24) {
    await deliver(pool, site, sweeps.slice(from, from + 24));
    await pass();
  }
  const before = await conclusions(pool, site);
  expect(before.findings.some(({ onset_at }) => onset_at.getTime() < APRIL_MS)).toBe(true);
  await letSweepsGo(db, APRIL_MS);

  await announceChange(db, site.siteId, site.pointIds, HISTORY_START_MS + 3 * DAY_MS);
  await pass();

  expect(await conclusions(pool, site)).toEqual(before);
});
