import { PgBoss } from 'pg-boss';
import type { Deps } from '../deps.ts';
import type { Enqueue, JobQueue } from './jobQueue.ts';

const SCHEMA = 'job';
const CONNECTIONS = 4;
const LOOK_EVERY_S = 2;
const STOP_WITHIN_MS = 30_000;

export interface RunningJobs {
  readonly enqueue: Enqueue;
  /** Begins the work on the queues. */
  work(deps: Deps): Promise<void>;
  /** Takes no further jobs, and resolves once those under way are done or half a minute has passed. */
  stop(): Promise<void>;
}

/**
 * Opens the queues in the database at `url`. Several servers on one database share the work; a job whose server died is taken up by
 * another once its `expireInSeconds` are over.
 */
export async function openJobs(
  url: string,
  queues: readonly JobQueue[],
  onError: (error: Error) => void,
): Promise<RunningJobs> {
  const boss = new PgBoss({ connectionString: url, schema: SCHEMA, max: CONNECTIONS });
  boss.on('error', onError);
  await boss.start();
  for (const { name, options = {} } of queues) await boss.createQueue(name, options);
  return {
    enqueue: async (name, data, { key, after } = {}) => {
      await boss.send(name, data, { ...(key && { singletonKey: key }), ...(after && { startAfter: after }) });
    },
    work: async (deps) => {
      for (const queue of queues) await workOn(boss, deps, queue);
    },
    stop: () => boss.stop({ graceful: true, timeout: STOP_WITHIN_MS, close: true }),
  };
}

async function workOn(boss: PgBoss, deps: Deps, queue: JobQueue): Promise<void> {
  const { name, cron, atOnce = 1, lookEveryS = LOOK_EVERY_S } = queue;
  if (cron !== undefined) await boss.schedule(name, cron, {}, { tz: 'UTC' });
  await boss.work<object>(
    name,
    { localConcurrency: atOnce, pollingIntervalSeconds: lookEveryS },
    async ([job]) => {
      if (job !== undefined) await queue.handle(deps, job.data, job.signal);
    },
  );
}
