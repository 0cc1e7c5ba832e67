import fc from 'fast-check';
import type pg from 'pg';
import { beforeAll, expect, test } from 'vitest';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import { addCalibration } from '../../../api/instruments/instruments.ts';
import { addWindow } from '../../../api/maintenance/windows.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import {
  conclusions,
  DAY_MS,
  deliver,
  HISTORY_START_MS,
  history,
  makeSite,
  type TestSweep,
} from './engineSite.ts';

const database = withDatabase();
const NOW_MS = HISTORY_START_MS + 40 * DAY_MS;
const SWEEPS = history(3);

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

test('any order, duplicates, batches and kills end in the findings, hours and states of one run', async () => {
  const expected = await inOneGo();
  expect(expected.findings.map(({ kind }) => kind)).toEqual(
    expect.arrayContaining(['step', 'drift', 'channel-lost', 'instrument-change']),
  );

  await fc.assert(
    fc.asyncProperty(plan, async ({ order, repeated, batches, kills }) => {
      const site = await makeSite(database.db);
      const sent = [...order, ...repeated].map((index) => SWEEPS[index]!);
      const size = Math.ceil(sent.length / batches);
      for (let from = 0; from < sent.length; from += size) {
        await deliver(database.pool, site, sent.slice(from, from + size));
        const kill = kills[from % kills.length]!;
        if (kill > 0) await killedPass(kill);
        await pass();
      }
      expect(await conclusions(database.pool, site)).toEqual(expected);
    }),
    { numRuns: 10, endOnFailure: true },
  );
}, 180_000);

test('so they do with maintenance windows and calibrations, entered before, between or after the sweeps', async () => {
  const expected = await inOneGo(SWEEPS, givenWork);
  expect(expected).not.toEqual(await inOneGo());
  expect(expected.findings.filter(({ evidence }) => 'calibratedMs' in evidence)).toHaveLength(1);

  await fc.assert(
    fc.asyncProperty(plan, fc.double({ min: 0, max: 1, noNaN: true }), async (given, share) => {
      const { order, repeated, batches, kills } = given;
      const site = await makeSite(database.db);
      const sent = [...order, ...repeated].map((index) => SWEEPS[index]!);
      const size = Math.ceil(sent.length / batches);
      const entryAt = Math.floor(share * batches) * size;
      for (let from = 0; from < sent.length; from += size) {
        if (from === entryAt) await givenWork(site);
        await deliver(database.pool, site, sent.slice(from, from + size));
        const kill = kills[from % kills.length]!;
        if (kill > 0) await killedPass(kill);
        await pass();
      }
      if (entryAt >= sent.length) await givenWork(site);
      await pass();
      expect(await conclusions(database.pool, site)).toEqual(expected);
    }),
    { numRuns: 10, endOnFailure: true },
  );
}, 180_000);

test('sweeps that come one by one end in the states of one run, steps that reach both points among them', async () => {
  const sweeps = history(5, 24).map((sweep) => {
    const steps = [12, 15, 18, 21].filter((day) => sweep.atMs >= HISTORY_START_MS + day * DAY_MS).length;
    return { ...sweep, levelCdbmv: sweep.levelCdbmv.map((level) => level && level - 200 * (steps % 2)) };
  });
  const site = await makeSite(database.db);
  for (const sweep of sweeps) {
    await deliver(database.pool, site, [sweep]);
    expect((await pass()).sweeps).toBeGreaterThan(0);
  }
  expect(await conclusions(database.pool, site)).toEqual(await inOneGo(sweeps));
});

test('going back takes away what was told since, whenever it was detected', async () => {
  const site = await makeSite(database.db);
  const late = SWEEPS.findIndex(({ atMs }) => atMs > HISTORY_START_MS + 25 * DAY_MS);
  await deliver(database.pool, site, [...SWEEPS.slice(0, late), ...SWEEPS.slice(late + 1)]);
  await pass();
  await database.pool.query(
    `insert into finding (site_id, event, point_id, kind, metric, detected_at, onset_at, onset_low_at, onset_high_at,
       size_db, size_low_db, size_high_db, side, hop_to, told_at)
     select site_id, 1000, point_id, kind, metric, $2, $2, $2, $2, 0, 0, 0, side, hop_to, $3 from finding
     where site_id = $1 limit 1`,
    [site.siteId, new Date(HISTORY_START_MS), new Date(HISTORY_START_MS + 29 * DAY_MS)],
  );
  await deliver(database.pool, site, [SWEEPS[late]!]);
  await pass();
  expect(await conclusions(database.pool, site)).toEqual(await inOneGo());
});

test('a late sweep costs the sweeps since the checkpoint before it', async () => {
  const site = await makeSite(database.db);
  const late = SWEEPS.findIndex(({ atMs }) => atMs > HISTORY_START_MS + 25 * DAY_MS);
  await deliver(database.pool, site, [...SWEEPS.slice(0, late), ...SWEEPS.slice(late + 1)]);
  expect((await pass()).sweeps).toBe(SWEEPS.length - 1);
  await deliver(database.pool, site, [SWEEPS[late]!]);
  // Both points are swept six times a day.
  expect((await pass()).sweeps).toBeLessThanOrEqual((30 - 24) * 12);
  expect(await conclusions(database.pool, site)).toEqual(await inOneGo());
});

test('a point that reports twenty minutes after the other costs no more than an hour', async () => {
  const site = await makeSite(database.db);
  const early = SWEEPS.filter(({ atMs }) => atMs < HISTORY_START_MS + 3 * DAY_MS);
  await deliver(database.pool, site, early);
  await pass();
  for (let from = early.length; from < early.length + 20; from += 2) {
    const [handoff, outlet] = SWEEPS.slice(from, from + 2);
    await deliver(database.pool, site, [outlet!]);
    expect((await pass()).sweeps).toBe(1);
    await deliver(database.pool, site, [handoff!]);
    expect((await pass()).sweeps).toBe(2);
  }
});

test('checkpoints stay few, however long the history and however it comes', async () => {
  const site = await makeSite(database.db);
  for (let from = 0; from < SWEEPS.length; from += 7) {
    await deliver(database.pool, site, SWEEPS.slice(from, from + 7));
    await pass();
  }
  const { rows } = await database.pool.query('select at from checkpoint where site_id = $1', [site.siteId]);
  expect(rows.length).toBeGreaterThan(14);
  expect(rows.length).toBeLessThanOrEqual(3 + 15 + 2);
});

test('two workers at once don’t take the same site twice', async () => {
  const site = await makeSite(database.db);
  for (let from = 0; from < SWEEPS.length; from += 90) {
    await deliver(database.pool, site, SWEEPS.slice(from, from + 90));
    const passes = await Promise.all([pass(), pass(), pass()]);
    expect(passes.reduce((sum, { sweeps }) => sum + sweeps, 0)).toBe(Math.min(90, SWEEPS.length - from));
  }
  expect(await conclusions(database.pool, site)).toEqual(await inOneGo());
});

/** Two windows, one of them over the step, and a calibration of the handoff's instrument. */
async function givenWork({ siteId }: { siteId: number }): Promise<void> {
  const at = (day: number) => new Date(HISTORY_START_MS + day * DAY_MS).toISOString();
  for (const [from, to] of [
    [5.1, 5.6],
    [12.2, 13.4],
  ] as const) {
    const times = { fromAt: at(from), toAt: at(to) };
    const words = { reason: 'amplifier replaced', effect: 'no signal' };
    await addWindow(database.db, { scope: 'site', scopeId: siteId, ...times, ...words }, 'Ada', NOW_MS);
  }
  await database.pool.query('insert into instrument (site_id, name) values ($1, $2) on conflict do nothing', [
    siteId,
    'probe-1',
  ]);
  const calibration = { calibratedAt: at(22.5), dueAt: null, uncertaintyDb: 0.5, certificate: 'C 117' };
  await addCalibration(database.db, siteId, 'probe-1', calibration, { by: 'Ada', nowMs: NOW_MS });
}

async function inOneGo(
  sweeps: readonly TestSweep[] = SWEEPS,
  prepare: (site: { siteId: number }) => Promise<void> = async () => {},
) {
  const site = await makeSite(database.db);
  await prepare(site);
  await deliver(database.pool, site, sweeps);
  await pass();
  return conclusions(database.pool, site);
}

const INDICES = SWEEPS.map((_, i) => i);

/** Some sweeps sent twice; workers killed at a statement. */
const plan = fc.record({
  order: fc.oneof(
    { weight: 1, arbitrary: fc.constant(INDICES) },
    { weight: 2, arbitrary: fc.shuffledSubarray(INDICES, { minLength: SWEEPS.length }) },
    { weight: 1, arbitrary: fc.integer({ min: 1, max: SWEEPS.length - 1 }).map(rotated) },
    { weight: 2, arbitrary: fc.nat(1).map(onePointFirst) },
    {
      weight: 4,
      arbitrary: fc.array(fc.tuple(fc.nat(SWEEPS.length - 1), fc.nat(60)), { maxLength: 12 }).map(delayed),
    },
  ),
  repeated: fc.array(fc.nat(SWEEPS.length - 1), { maxLength: 20 }),
  batches: fc.integer({ min: 1, max: 30 }),
  kills: fc.array(fc.nat(18), { minLength: 1, maxLength: 5 }),
});

function rotated(cut: number): number[] {
  return [...INDICES.slice(cut), ...INDICES.slice(0, cut)];
}

/** All of one point, then all of the other. */
function onePointFirst(point: number): number[] {
  return INDICES.toSorted((a, b) => Number(SWEEPS[a]!.point !== point) - Number(SWEEPS[b]!.point !== point));
}

/** In order, but for some that come a number of sweeps late. */
function delayed(delays: readonly (readonly [index: number, by: number])[]): number[] {
  const places = new Map(delays);
  const place = (index: number) => index + (places.get(index) ?? 0);
  return INDICES.toSorted((a, b) => place(a) - place(b));
}

function pass() {
  return runEnginePass({ db: database.db, pool: database.pool }, { nowMs: NOW_MS });
}

/** A pass whose connection breaks at its n-th statement; statements count from 1. */
async function killedPass(statement: number): Promise<void> {
  let left = statement;
  const pool = Object.create(database.pool) as pg.Pool;
  pool.query = database.pool.query.bind(database.pool);
  pool.connect = (async () => {
    const client = await database.pool.connect();
    const query = client.query.bind(client) as (...args: unknown[]) => Promise<unknown>;
    const broken = Object.create(client) as pg.PoolClient;
    broken.query = (async (...args: unknown[]) => {
      if (left === 0) throw new Error('killed');
      if (--left === 0) {
        await query('select pg_terminate_backend(pg_backend_pid())').catch(() => {});
        throw new Error('killed');
      }
      return query(...args);
    }) as typeof client.query;
    broken.release = (error?: Error | boolean) => client.release(error ?? left === 0);
    return broken;
  }) as typeof pool.connect;
  await runEnginePass({ db: database.db, pool }, { nowMs: NOW_MS }).catch((error: Error) => {
    if (!/killed|terminat/i.test(error.message)) throw error;
  });
}
