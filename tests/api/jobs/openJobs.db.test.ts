import { setTimeout } from 'node:timers/promises';
import { pino } from 'pino';
import { afterEach, expect, test } from 'vitest';
import type { Deps } from '../../../api/deps.ts';
import type { JobQueue } from '../../../api/jobs/jobQueue.ts';
import { openJobs, type RunningJobs } from '../../../api/jobs/openJobs.ts';
import { OUTSIDE } from '../../support/outside.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const running: RunningJobs[] = [];

afterEach(async () => {
  await Promise.all(running.splice(0).map((jobs) => jobs.stop()));
});

async function open(queue: Partial<JobQueue> & { handle: JobQueue['handle'] }, works = true) {
  const queues = [{ name: 'sums', lookEveryS: 0.5, ...queue }];
  const jobs = await openJobs(database.url, queues, (error) => {
    throw error;
  });
  running.push(jobs);
  const { db, pool } = database;
  const log = pino({ level: 'silent' });
  const deps: Deps = { db, pool, now: Date.now, log, enqueue: jobs.enqueue, ...OUTSIDE };
  if (works) await jobs.work(deps);
  return jobs;
}

async function until(isSo: () => boolean): Promise<void> {
  for (let i = 0; i < 200 && !isSo(); i++) await setTimeout(50);
  expect(isSo()).toBe(true);
}

test('two servers share the work, and each job is done once', async () => {
  const done: number[][] = [[], []];
  const servers = [];
  for (const list of done)
    servers.push(await open({ handle: async (_, data) => void list.push((data as { n: number }).n) }));
  for (let n = 0; n < 12; n++) await servers[0]!.enqueue('sums', { n });
  await until(() => done.flat().length >= 12);
  expect(done.flat().toSorted((a, b) => a - b)).toEqual([...Array(12).keys()]);
});

test('work put in by a server that does none waits for one that does', async () => {
  const done: object[] = [];
  const idle = await open({ handle: async () => {} }, false);
  await idle.enqueue('sums', { from: 'the idle one' });
  await open({ handle: async (_, data) => void done.push(data) });
  await until(() => done.length > 0);
  expect(done).toEqual([{ from: 'the idle one' }]);
});

test('a handler that throws is tried again', async () => {
  let tries = 0;
  const jobs = await open({
    name: 'stubborn',
    options: { retryLimit: 2, retryDelay: 0 },
    handle: async () => {
      if (++tries < 3) throw new Error('not yet');
    },
  });
  await jobs.enqueue('stubborn', {});
  await until(() => tries === 3);
});

test('a second job of a key is dropped while the first one waits', async () => {
  const done: object[] = [];
  const options = { policy: 'short' };
  const idle = await open({ name: 'keyed', options, handle: async () => {} }, false);
  await idle.enqueue('keyed', { n: 1 }, { key: 'site 7' });
  await idle.enqueue('keyed', { n: 2 }, { key: 'site 7' });
  await open({ name: 'keyed', options, handle: async (_, data) => void done.push(data) });
  await until(() => done.length > 0);
  await setTimeout(800);
  expect(done).toEqual([{ n: 1 }]);
});
