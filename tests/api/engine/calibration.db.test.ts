import { beforeAll, expect, test } from 'vitest';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import {
  addCalibration,
  changeInstrument,
  listInstruments,
  removeCalibration,
} from '../../../api/instruments/instruments.ts';
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
const CALIBRATED_DAY = 12.1;
const ENTRY = { by: 'Ada Field', nowMs: NOW_MS };

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

test('another bias since a calibration is the instrument’s and raises no step', async () => {
  const site = await makeSite(database.db);
  await run(site, biased(1.5));
  expect((await kinds(site)).filter((kind) => kind === 'step')).toHaveLength(2);

  await addCalibration(database.db, site.siteId, 'probe-1', calibration(), ENTRY);
  await pass();

  const { findings } = await conclusions(database.pool, site);
  expect(findings.map(({ kind, point_id }) => [kind, point_id])).toEqual([
    ['instrument-change', 1],
    ['instrument-change', 2],
  ]);
  for (const { size_db, closed_at, evidence } of findings) {
    expect(size_db).toBeCloseTo(1.5, 0);
    expect(closed_at).not.toBe(null);
    expect(evidence).toMatchObject({ instrument: 'probe-1', calibratedMs: atMs(CALIBRATED_DAY) });
  }
});

test('a change beyond what a meter may err by stays a fault, whenever it was calibrated', async () => {
  const site = await makeSite(database.db);
  await run(site, biased(-5));
  await addCalibration(database.db, site.siteId, 'probe-1', calibration(), ENTRY);
  await pass();
  expect(await kinds(site)).toContain('step');
});

test('a calibration that is taken back leaves what was concluded without it', async () => {
  const plain = await makeSite(database.db);
  await run(plain, biased(1.5));
  const site = await makeSite(database.db);
  await run(site, biased(1.5));
  await addCalibration(database.db, site.siteId, 'probe-1', calibration(), ENTRY);
  await pass();
  const [instrument] = await listInstruments(database.db, site.siteId, NOW_MS);
  const { calibrationId } = instrument!.calibrations[0]!;
  await removeCalibration(database.db, site.siteId, 'probe-1', calibrationId);
  await pass();
  expect(await conclusions(database.pool, site)).toEqual(await conclusions(database.pool, plain));
});

test('a calibration from before the baseline changes nothing', async () => {
  const site = await makeSite(database.db);
  await run(site, steady(4, 24));
  const before = await conclusions(database.pool, site);
  expect(before.findings).toEqual([]);
  await addCalibration(database.db, site.siteId, 'probe-1', calibration(-30), ENTRY);
  await pass();
  expect((await conclusions(database.pool, site)).findings).toEqual([]);
});

test('instruments appear with their sweeps; people say what they are and when they are due', async () => {
  const site = await makeSite(database.db);
  await run(
    site,
    steady(4, 24).map((sweep, i) => ({ ...sweep, instrument: i > 200 ? 'meter-2' : 'probe-1' })),
  );
  const names = async () => {
    const listed = await listInstruments(database.db, site.siteId, NOW_MS);
    return listed.map(({ name, standing }) => [name, standing]);
  };
  expect(await names()).toEqual([
    ['meter-2', 'unknown'],
    ['probe-1', 'unknown'],
  ]);

  await changeInstrument(database.db, site.siteId, 'meter-2', { serial: 'A-1188' });
  const due = (day: number) => new Date(atMs(day)).toISOString();
  const { siteId } = site;
  await addCalibration(database.db, siteId, 'meter-2', { ...calibration(3), dueAt: due(30) }, ENTRY);
  await addCalibration(database.db, siteId, 'probe-1', { ...calibration(3), dueAt: due(300) }, ENTRY);
  expect(await names()).toEqual([
    ['meter-2', 'overdue'],
    ['probe-1', 'in'],
  ]);
  const [meter] = await listInstruments(database.db, siteId, NOW_MS);
  expect(meter).toMatchObject({ serial: 'A-1188', points: ['handoff', 'outlet'] });
  expect(meter!.calibrations).toMatchObject([{ uncertaintyDb: 0.3, certificate: 'C 4711' }]);
});

test.each([
  [{ calibratedAt: new Date(NOW_MS + DAY_MS).toISOString() }, /calibratedAt: lies ahead/],
  [{ dueAt: new Date(atMs(1)).toISOString() }, /dueAt: must lie after/],
])('refuses a calibration that can’t be: %o', async (changes, reason) => {
  const site = await makeSite(database.db);
  await run(site, steady(4, 1));
  const wanted = { ...calibration(), ...changes };
  await expect(addCalibration(database.db, site.siteId, 'probe-1', wanted, ENTRY)).rejects.toThrow(reason);
});

function calibration(day = CALIBRATED_DAY) {
  return {
    calibratedAt: new Date(atMs(day)).toISOString(),
    dueAt: null as string | null,
    uncertaintyDb: 0.3,
    certificate: 'C 4711',
  };
}

function atMs(day: number): number {
  return HISTORY_START_MS + day * DAY_MS;
}

/** 24 days of both points; from the calibration on everything reads `byDb` higher. */
function biased(byDb: number): TestSweep[] {
  return steady(4, 24).map((sweep) =>
    sweep.atMs < atMs(CALIBRATED_DAY)
      ? sweep
      : { ...sweep, levelCdbmv: sweep.levelCdbmv.map((level) => level && level + 100 * byDb) },
  );
}

async function kinds(site: { siteId: number }): Promise<string[]> {
  return (await conclusions(database.pool, site)).findings.map(({ kind }) => kind);
}

async function run(site: Awaited<ReturnType<typeof makeSite>>, sweeps: readonly TestSweep[]): Promise<void> {
  await deliver(database.pool, site, sweeps);
  await pass();
}

function pass() {
  return runEnginePass({ db: database.db, pool: database.pool }, { nowMs: NOW_MS });
}
