import fc from 'fast-check';
import type pg from 'pg';
import { beforeAll, expect, test } from 'vitest';
import { runEnginePass } from '../../../api/engine/runEnginePass.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { conclusions, deliver, HISTORY_START_MS, history, makeSite, type TestSweep } from './engineSite.ts';

const database = withDatabase();
const NOW_MS = HISTORY_START_MS + 40 * 86_400_000;
const SWEEPS = history(3);

beforeAll(async () => {
  await database.pool.query(
    `create table if not exists sweep_of_tests partition of sweep for values from ('2026-01-01') to ('2027-01-01')`,
  );
});

test('any order, duplicates, batches and kills end in the findings, hours and states of one run', async () => {
  const inOneGo = await makeSite(database.db);
  await deliver(database.pool, inOneGo, SWEEPS);
  await pass();
  const expected = await conclusions(database.pool, inOneGo);
  expect(new Set(expected.findings.map(({ kind }) => kind))).toEqual(
    new Set(['step', 'drift', 'channel-lost', 'instrument-change']),
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

test('a late sweep is taken in from the checkpoint before it', async () => {
  const late = SWEEPS.findIndex(
    ({ atMs, point }) => point === 0 && atMs > HISTORY_START_MS + 20 * 86_400_000,
  );
  const site = await makeSite(database.db);
  await deliver(database.pool, site, without(SWEEPS, late));
  await pass();
  await deliver(database.pool, site, [SWEEPS[late]!]);
  await pass();

  const inOneGo = await makeSite(database.db);
  await deliver(database.pool, inOneGo, SWEEPS);
  await pass();
  expect(await conclusions(database.pool, site)).toEqual(await conclusions(database.pool, inOneGo));
});

test('two workers at once don’t take the same point twice', async () => {
  const site = await makeSite(database.db);
  for (let from = 0; from < SWEEPS.length; from += 90) {
    await deliver(database.pool, site, SWEEPS.slice(from, from + 90));
    await Promise.all([pass(), pass(), pass()]);
  }
  await pass();
  const inOneGo = await makeSite(database.db);
  await deliver(database.pool, inOneGo, SWEEPS);
  await pass();
  expect(await conclusions(database.pool, site)).toEqual(await conclusions(database.pool, inOneGo));
});

/** In order for the most part, or shuffled; some sweeps sent twice; workers killed at a statement. */
const plan = fc.record({
  order: fc.oneof(
    fc.constant(SWEEPS.map((_, i) => i)),
    fc.shuffledSubarray(
      SWEEPS.map((_, i) => i),
      { minLength: SWEEPS.length },
    ),
    fc.integer({ min: 1, max: SWEEPS.length - 1 }).map((cut) => rotated(cut)),
  ),
  repeated: fc.array(fc.nat(SWEEPS.length - 1), { maxLength: 20 }),
  batches: fc.integer({ min: 1, max: 9 }),
  kills: fc.array(fc.nat(18), { minLength: 1, maxLength: 5 }),
});

function rotated(cut: number): number[] {
  const all = SWEEPS.map((_, i) => i);
  return [...all.slice(cut), ...all.slice(0, cut)];
}

function without(sweeps: readonly TestSweep[], index: number): TestSweep[] {
  return sweeps.filter((_, i) => i !== index);
}

function pass(): Promise<unknown> {
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
