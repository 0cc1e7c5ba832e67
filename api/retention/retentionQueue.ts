import type { JobQueue } from '../jobs/jobQueue.ts';
import { letSweepsGo } from './letSweepsGo.ts';

const DAY_MS = 86_400_000;
/** A month of 500 sites takes minutes; an hour says that something is wrong. */
const EXPIRES_S = 3600;

/** Once a night, UTC: sweeps older than `keepDays` become medians of days. */
export function retentionQueue(keepDays: number): JobQueue {
  return {
    name: 'retention',
    cron: '40 2 * * *',
    options: { expireInSeconds: EXPIRES_S, retryLimit: 3, retryDelay: 600 },
    async handle({ db, now, log }, _, signal) {
      const months = await letSweepsGo(db, now() - keepDays * DAY_MS, signal);
      if (months.length > 0) log.info({ months }, 'sweeps became medians of days');
    },
  };
}
