import { beforeAll, expect, test } from 'vitest';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import { addWindow, cancelWindow, changeWindow } from '../../../api/maintenance/windows.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import {
  conclusions,
  DAY_MS,
  deliver,
  HISTORY_START_MS,
  makeSite,
  steady,
  type TestSweep,
} from './engineSite.ts';

const database = withDatabase();
const NOW_MS = HISTORY_START_MS + 40 * DAY_MS;
const FROM_DAY = 12.1;
const TO_DAY = 13.3;

type Site = Awaited<ReturnType<typeof makeSite>>;

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

test('a fall of 4 dB inside a window raises nothing, and its readings are kept', async () => {
  const site = await makeSite(database.db);
  await givenWindow(site);
  await run(site, lowered(FROM_DAY, TO_DAY));
  const { findings, hours } = await conclusions(database.pool, site);
  expect(findings).toEqual([]);
  const inside = hours.filter(({ hour }) => dayOf(hour) > 12.2 && dayOf(hour) < 13.2);
  expect(inside.length).toBeGreaterThan(4);
  for (const { level_dev_db } of inside) expect(level_dev_db).toBeLessThan(-3);
});

test('without the window the same readings raise a step at both points', async () => {
  const site = await makeSite(database.db);
  await run(site, lowered(FROM_DAY, TO_DAY));
  const { findings } = await conclusions(database.pool, site);
  expect(findings.filter(({ kind }) => kind === 'step').map(({ point_id }) => point_id)).toEqual([1, 2]);
});

test('a level that stays changed after the window is found once, with its onset no earlier than the last sweep before it', async () => {
  const site = await makeSite(database.db);
  await givenWindow(site);
  await run(site, lowered(FROM_DAY + 0.4, 99));
  const { findings } = await conclusions(database.pool, site);
  expect(findings.map(({ kind, point_id }) => [kind, point_id])).toEqual([
    ['step', 1],
    ['step', 2],
  ]);
  const [step] = findings;
  expect(step.size_db).toBeCloseTo(-4, 0);
  expect(step.explained_by).toBe(null);
  expect(step.side).toBe('provider');
  expect(dayOf(step.onset_low_at)).toBeGreaterThan(FROM_DAY - 0.2);
  expect(dayOf(step.onset_low_at)).toBeLessThan(FROM_DAY + 0.1 * (TO_DAY - FROM_DAY));
  expect(dayOf(step.onset_high_at)).toBeLessThan(TO_DAY + 0.2);
});

test('a repair inside the window ends the finding from before it', async () => {
  const site = await makeSite(database.db);
  await givenWindow(site);
  await run(site, lowered(9, FROM_DAY + 0.4));
  const { findings } = await conclusions(database.pool, site);
  const steps = findings.filter(({ kind }) => kind === 'step');
  expect(steps).toHaveLength(2);
  for (const { closed_at } of steps) expect(dayOf(closed_at)).toBeGreaterThan(FROM_DAY);
});

test('a window without any sweep inside is no news either', async () => {
  const site = await makeSite(database.db);
  await givenWindow(site);
  const isInside = ({ atMs }: TestSweep) => {
    const day = (atMs - HISTORY_START_MS) / DAY_MS;
    return day >= FROM_DAY && day < TO_DAY;
  };
  await run(
    site,
    steady(7, 24).filter((sweep) => !isInside(sweep)),
  );
  expect((await conclusions(database.pool, site)).findings).toEqual([]);
});

test('a channel that is missing inside the window only is not told', async () => {
  const site = await makeSite(database.db);
  await givenWindow(site);
  await run(
    site,
    steady(8, 24).map((sweep) => {
      const day = (sweep.atMs - HISTORY_START_MS) / DAY_MS;
      if (day < FROM_DAY || day >= TO_DAY) return sweep;
      return {
        ...sweep,
        levelCdbmv: sweep.levelCdbmv.map((level, i) => (i === 3 ? null : level)),
        lostHz: [79_000_000],
      };
    }),
  );
  expect((await conclusions(database.pool, site)).findings).toEqual([]);
});

test('a window that is made, moved or cancelled later ends in what it would have from the first', async () => {
  const sweeps = lowered(FROM_DAY, TO_DAY);
  const expected = await concluded(sweeps, { early: true });

  const made = await makeSite(database.db);
  await run(made, sweeps);
  await givenWindow(made);
  await pass();
  expect(await conclusions(database.pool, made)).toEqual(expected);

  const moved = await makeSite(database.db);
  const { windowId } = await givenWindow(moved, FROM_DAY + 1, TO_DAY + 1);
  await run(moved, sweeps);
  expect((await conclusions(database.pool, moved)).findings).not.toEqual([]);
  await changeWindow(database.db, windowId, { fromAt: at(FROM_DAY), toAt: at(TO_DAY) }, NOW_MS);
  await pass();
  expect(await conclusions(database.pool, moved)).toEqual(expected);

  const cancelled = await makeSite(database.db);
  const window = await givenWindow(cancelled);
  await run(cancelled, sweeps);
  await cancelWindow(database.db, window.windowId, 'Ada Field', NOW_MS);
  await pass();
  expect(await conclusions(database.pool, cancelled)).toEqual(await concluded(sweeps, { early: false }));
});

test('a provider’s window holds at its sites and at no others', async () => {
  const [fed, other] = [await makeSite(database.db), await makeSite(database.db)];
  const { provider_id } = await database.db
    .insertInto('provider')
    .values({ name: 'Marren Valley Feed' })
    .returning('provider_id')
    .executeTakeFirstOrThrow();
  await database.db.updateTable('site').set({ provider_id }).where('site_id', '=', fed.siteId).execute();
  const times = { fromAt: at(FROM_DAY), toAt: at(TO_DAY), ...WORDS };
  await addWindow(database.db, { scope: 'provider', scopeId: provider_id, ...times }, 'Ada Field', NOW_MS);
  for (const site of [fed, other]) await run(site, lowered(FROM_DAY, TO_DAY));
  expect((await conclusions(database.pool, fed)).findings).toEqual([]);
  expect((await conclusions(database.pool, other)).findings).not.toEqual([]);
});

const WORDS = { reason: 'riser amplifier is replaced', effect: 'levels fall, then no signal' };

function givenWindow({ siteId }: Site, fromDay = FROM_DAY, toDay = TO_DAY) {
  const wanted = { scope: 'site', scopeId: siteId, fromAt: at(fromDay), toAt: at(toDay), ...WORDS } as const;
  return addWindow(database.db, wanted, 'Ada Field', NOW_MS);
}

function at(day: number): string {
  return new Date(HISTORY_START_MS + day * DAY_MS).toISOString();
}

function dayOf(moment: Date): number {
  return (moment.getTime() - HISTORY_START_MS) / DAY_MS;
}

/** 24 days of both points, 4 dB lower from one day to another. */
function lowered(fromDay: number, toDay: number): TestSweep[] {
  return steady(7, 24).map((sweep) => {
    const day = (sweep.atMs - HISTORY_START_MS) / DAY_MS;
    if (day < fromDay || day >= toDay) return sweep;
    return { ...sweep, levelCdbmv: sweep.levelCdbmv.map((level) => level && level - 400) };
  });
}

async function concluded(sweeps: readonly TestSweep[], { early }: { early: boolean }) {
  const site = await makeSite(database.db);
  if (early) await givenWindow(site);
  await run(site, sweeps);
  return conclusions(database.pool, site);
}

async function run(site: Site, sweeps: readonly TestSweep[]): Promise<void> {
  await deliver(database.pool, site, sweeps);
  await pass();
}

function pass() {
  return runEnginePass({ db: database.db, pool: database.pool }, { nowMs: NOW_MS });
}
