import { beforeEach, describe, expect, test } from 'vitest';
import { askForReading } from '../../../api/probes/askForReading.ts';
import { CLAIM_GRACE_S, type ClaimedProbe, claimDue } from '../../../api/probes/claimDue.ts';
import { finishRun } from '../../../api/probes/finishRun.ts';
import { putOffMissed } from '../../../api/probes/putOffMissed.ts';
import { releaseClaim } from '../../../api/probes/releaseClaim.ts';
import type { RunResult } from '../../../api/probes/runResult.ts';
import { changeProbe, removeProbe } from '../../../api/probes/setUpProbes.ts';
import { SECRET } from '../../support/testApp.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { type GivenProbe, givenProbe, givenScheduledProbe } from './givenProbe.ts';

const database = withDatabase();
const START_MS = Date.parse('2026-03-02T12:00:00Z');
const MINUTE_MS = 60_000;
const READ: RunResult = { outcome: 'read', sweeps: 1, told: '1 channel' };
const FAILED: RunResult = { outcome: 'failed', code: 'instrument', message: 'no answer', action: 'look' };
const random = () => 0;

beforeEach(async () => {
  for (const table of ['probe_run', 'probe_day', 'probe', 'probe_instrument'] as const) {
    await database.db.deleteFrom(table).execute();
  }
});

const claim = (nowMs: number, by = 'first', limit = 100) => claimDue(database.db, { limit, by, nowMs });
const finish = (claimed: ClaimedProbe, result: RunResult, nowMs: number) =>
  finishRun(database.db, claimed, result, nowMs, random);

async function claimOne(nowMs: number, by = 'first'): Promise<ClaimedProbe> {
  const claims = await claim(nowMs, by);
  expect(claims).toHaveLength(1);
  return claims[0]!;
}

function rowOf({ siteId, probeId }: GivenProbe) {
  return database.db
    .selectFrom('probe')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('probe_id', '=', probeId)
    .executeTakeFirstOrThrow();
}

function runsOf({ siteId, probeId }: GivenProbe) {
  return database.db
    .selectFrom('probe_run')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('probe_id', '=', probeId)
    .orderBy('run_id')
    .execute();
}

describe('the queue of probes', () => {
  test('a new probe is read at once, then by its schedule', async () => {
    const probe = await givenProbe(database.db, START_MS);
    const claimed = await claimOne(START_MS);
    expect(claimed).toMatchObject({ siteId: probe.siteId, askedBy: 'Ada', tries: 1 });
    expect(await finish(claimed, READ, START_MS + 2000)).toBe(true);

    const row = await rowOf(probe);
    expect(row.wake_at).toEqual(row.due_at);
    expect(row.due_at!.getTime()).toBeGreaterThan(START_MS);
    expect(row.due_at!.getTime()).toBeLessThanOrEqual(START_MS + 2000 + 2 * 5 * MINUTE_MS);
    expect(await claim(row.due_at!.getTime() - 1)).toEqual([]);
    expect(await claim(row.due_at!.getTime())).toHaveLength(1);
  });

  test('two servers that look at once never get the same probe, and together get all', async () => {
    const dues = [];
    for (let i = 0; i < 40; i++) dues.push((await givenScheduledProbe(database.db, START_MS)).dueMs);
    const nowMs = Math.max(...dues);
    const taken = await Promise.all(
      Array.from({ length: 16 }, (_, i) => claim(nowMs, i % 2 === 0 ? 'first' : 'second', 5)),
    );
    const ids = taken.flat().map(({ probeId }) => probeId);
    expect(new Set(ids).size).toBe(ids.length);
    for (let rest = await claim(nowMs); rest.length > 0; rest = await claim(nowMs)) {
      ids.push(...rest.map(({ probeId }) => probeId));
    }
    expect(ids).toHaveLength(40);
    expect(new Set(ids).size).toBe(40);
  });

  test('probes that share an instrument are read one after the other, with its rest between', async () => {
    const settings = { host: '198.51.100.9', access: { version: '2c' as const } };
    for (let i = 0; i < 3; i++) await givenProbe(database.db, START_MS, { settings, floorS: 20 });
    const both = await Promise.all([claim(START_MS, 'first'), claim(START_MS, 'second')]);
    expect(both.flat()).toHaveLength(1);

    const [first] = both.flat();
    expect(await claim(START_MS + 1000)).toEqual([]);
    await finish(first!, READ, START_MS + 2000);
    expect(await claim(START_MS + 21_999)).toEqual([]);
    expect(await claim(START_MS + 22_000)).toHaveLength(1);
  });

  test('a probe whose server died is taken over once its claim is over, and the dead one changes nothing more', async () => {
    const probe = await givenScheduledProbe(database.db, START_MS, { timeoutS: 30 });
    const dead = await claimOne(probe.dueMs, 'dead');
    const overMs = probe.dueMs + (30 + CLAIM_GRACE_S) * 1000;
    expect(await claim(overMs - 1, 'living')).toEqual([]);

    const taken = await claimOne(overMs, 'living');
    expect(taken).toMatchObject({ probeId: probe.probeId, tries: 2 });
    expect(await finish(dead, READ, overMs + 1000)).toBe(false);
    expect(await finish(taken, READ, overMs + 2000)).toBe(true);
    expect(await runsOf(probe)).toMatchObject([{ outcome: 'read', tries: 2, due_at: new Date(probe.dueMs) }]);
  });

  test('a server that stops gives back what it has not read', async () => {
    const probe = await givenScheduledProbe(database.db, START_MS);
    const claimed = await claimOne(probe.dueMs);
    await releaseClaim(database.db, claimed, probe.dueMs + 500);
    expect(await claimOne(probe.dueMs + 500, 'second')).toMatchObject({ tries: 1 });
  });

  test('after an outage each probe is read once, and not all at once', async () => {
    const probes = [];
    for (let i = 0; i < 60; i++) probes.push(await givenScheduledProbe(database.db, START_MS));
    const backMs = START_MS + 6 * 60 * MINUTE_MS;
    const readAtMs: number[] = [];
    for (let nowMs = backMs; nowMs <= backMs + 5 * MINUTE_MS; nowMs += 5000) {
      await putOffMissed(database.db, nowMs);
      for (const claimed of await claim(nowMs)) {
        if (claimed.dueAt!.getTime() < backMs) readAtMs.push(nowMs);
        await finish(claimed, READ, nowMs);
      }
    }
    expect(readAtMs).toHaveLength(60);
    const inFirstTenth = readAtMs.filter((atMs) => atMs < backMs + 30_000).length;
    expect(inFirstTenth).toBeLessThan(20);
    for (const probe of probes) {
      const missed = (await runsOf(probe)).filter(({ due_at }) => due_at!.getTime() < backMs);
      expect(missed).toHaveLength(1);
    }
  });

  test('a probe that was put off once is not put off again', async () => {
    await givenScheduledProbe(database.db, START_MS);
    const backMs = START_MS + 60 * MINUTE_MS;
    expect(await putOffMissed(database.db, backMs)).toBe(1);
    expect(await putOffMissed(database.db, backMs + 20 * MINUTE_MS)).toBe(0);
    expect(await claim(backMs + 20 * MINUTE_MS)).toHaveLength(1);
  });
});

describe('a reading that fails', () => {
  test('is tried three times with longer and longer pauses, and makes one run', async () => {
    const probe = await givenScheduledProbe(database.db, START_MS, { floorS: 1 });
    let nowMs = probe.dueMs;
    const pausesMs: number[] = [];
    for (let i = 0; i < 3; i++) {
      await finish(await claimOne(nowMs), FAILED, nowMs);
      const { wake_at } = await rowOf(probe);
      pausesMs.push(wake_at!.getTime() - nowMs);
      nowMs = wake_at!.getTime();
    }
    expect(pausesMs.slice(0, 2)).toEqual([5000, 10_000]);
    expect(await runsOf(probe)).toMatchObject([
      {
        outcome: 'failed',
        tries: 3,
        error_code: 'instrument',
        error_text: 'no answer',
        error_action: 'look',
      },
    ]);
    expect(await rowOf(probe)).toMatchObject({ failures: 1, tries: 0, last_error_text: 'no answer' });
  });

  test('is tried once a time as long as it goes on failing', async () => {
    const probe = await givenScheduledProbe(database.db, START_MS);
    await database.db.updateTable('probe').set({ failures: 4 }).execute();
    await finish(await claimOne(probe.dueMs), FAILED, probe.dueMs + 1000);
    expect(await runsOf(probe)).toMatchObject([{ outcome: 'failed', tries: 1 }]);
    expect(await rowOf(probe)).toMatchObject({ failures: 5 });
  });

  test('is forgotten by the next one that succeeds, but stays in the record', async () => {
    const probe = await givenProbe(database.db, START_MS);
    await finish(await claimOne(START_MS), FAILED, START_MS);
    const { due_at } = await rowOf(probe);
    await finish(await claimOne(due_at!.getTime()), READ, due_at!.getTime());
    expect(await rowOf(probe)).toMatchObject({ failures: 0, last_error_code: null });
    expect(await runsOf(probe)).toMatchObject([{ outcome: 'failed' }, { outcome: 'read', told: null }]);
    const counted = await database.db.selectFrom('probe_day').select(['runs', 'failed']).execute();
    expect(counted).toEqual([{ runs: 2, failed: 1 }]);
  });
});

describe('a reading out of turn', () => {
  test('comes before what is due, keeps what it brought in words, and leaves the schedule alone', async () => {
    const due = await givenScheduledProbe(database.db, START_MS);
    const asked = await givenScheduledProbe(database.db, START_MS, {
      schedule: { kind: 'cron', expression: '0 9 * * *' },
    });
    const before = await rowOf(asked);
    await askForReading(database.db, asked.siteId, asked.probeId, { by: 'Rosa', nowMs: due.dueMs });
    const [first] = await claim(due.dueMs, 'first', 1);
    expect(first).toMatchObject({ probeId: asked.probeId, askedBy: 'Rosa' });
    await finish(first!, READ, due.dueMs + 1000);
    expect(await rowOf(asked)).toMatchObject({
      due_at: before.due_at,
      wake_at: before.due_at,
      asked_at: null,
    });
    expect(await runsOf(asked)).toMatchObject([{ asked_by: 'Rosa', due_at: null, told: '1 channel' }]);
  });

  test('is had of a paused probe, which stays paused', async () => {
    const probe = await givenProbe(database.db, START_MS, { enabled: false });
    expect(await claim(START_MS + 60 * MINUTE_MS)).toEqual([]);
    await askForReading(database.db, probe.siteId, probe.probeId, { by: 'Rosa', nowMs: START_MS });
    await finish(await claimOne(START_MS), READ, START_MS + 1000);
    expect(await rowOf(probe)).toMatchObject({ enabled: false, wake_at: null, due_at: null });
  });

  test('is answered by the reading under way', async () => {
    const probe = await givenScheduledProbe(database.db, START_MS);
    const claimed = await claimOne(probe.dueMs);
    await askForReading(database.db, probe.siteId, probe.probeId, { by: 'Rosa', nowMs: probe.dueMs + 100 });
    expect(await claim(probe.dueMs + 200)).toEqual([]);
    await finish(claimed, READ, probe.dueMs + 1000);
    expect(await runsOf(probe)).toMatchObject([{ asked_by: 'Rosa', told: '1 channel' }]);
    expect(await claim(probe.dueMs + 20_000)).toEqual([]);
  });

  test('waits for the rest of its instrument', async () => {
    const probe = await givenProbe(database.db, START_MS, { floorS: 30 });
    await finish(await claimOne(START_MS), READ, START_MS);
    await askForReading(database.db, probe.siteId, probe.probeId, { by: 'Rosa', nowMs: START_MS + 1000 });
    expect(await claim(START_MS + 29_999)).toEqual([]);
    expect(await claim(START_MS + 30_000)).toHaveLength(1);
  });
});

describe('a change while a probe is being read', () => {
  const setUp = (nowMs: number) => ({ secret: SECRET, nowMs });

  test('of its schedule counts from the next time on', async () => {
    const probe = await givenScheduledProbe(database.db, START_MS);
    const claimed = await claimOne(probe.dueMs);
    const schedule = { kind: 'cron' as const, expression: '0 6 * * *' };
    await changeProbe(database.db, probe.siteId, probe.probeId, { schedule }, setUp(probe.dueMs));
    await finish(claimed, READ, probe.dueMs + 1000);
    // Six o'clock in Chicago, winter.
    expect((await rowOf(probe)).due_at!.toISOString()).toMatch(/^2026-03-03T12:0[0-4]/);
    expect(await runsOf(probe)).toHaveLength(1);
  });

  test('that pauses it lets the reading end and begins no other', async () => {
    const probe = await givenScheduledProbe(database.db, START_MS);
    const claimed = await claimOne(probe.dueMs);
    await changeProbe(database.db, probe.siteId, probe.probeId, { enabled: false }, setUp(probe.dueMs));
    await finish(claimed, READ, probe.dueMs + 1000);
    expect(await claim(probe.dueMs + 24 * 60 * MINUTE_MS)).toEqual([]);
  });

  test('that removes it is no fault', async () => {
    const probe = await givenScheduledProbe(database.db, START_MS);
    const claimed = await claimOne(probe.dueMs);
    await removeProbe(database.db, probe.siteId, probe.probeId);
    expect(await finish(claimed, READ, probe.dueMs + 1000)).toBe(false);
  });
});

test('a maintenance window holds a run, which counts neither as read nor as failed', async () => {
  const probe = await givenScheduledProbe(database.db, START_MS);
  await finish(await claimOne(probe.dueMs), { outcome: 'held' }, probe.dueMs);
  expect(await runsOf(probe)).toMatchObject([{ outcome: 'held', sweeps: 0 }]);
  expect(await database.db.selectFrom('probe_day').selectAll().execute()).toEqual([]);
  expect(await rowOf(probe)).toMatchObject({ failures: 0, last_run_at: null });
});

test('sweeps of a point are due as often as the busiest of its probes brings one', async () => {
  const probe = await givenProbe(database.db, START_MS, {
    schedule: { kind: 'cron', expression: '0 6,18 * * *' },
  });
  const interval = async () =>
    (
      await database.db
        .selectFrom('point')
        .select('interval_s')
        .where('site_id', '=', probe.siteId)
        .where('point_id', '=', probe.pointId)
        .executeTakeFirstOrThrow()
    ).interval_s;
  expect(await interval()).toBe(12 * 3600);
  await changeProbe(
    database.db,
    probe.siteId,
    probe.probeId,
    { schedule: { kind: 'every', intervalS: 600 } },
    { secret: SECRET, nowMs: START_MS },
  );
  expect(await interval()).toBe(600);
});
