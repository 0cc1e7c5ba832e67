import type { JobQueue } from '../jobs/jobQueue.ts';
import { syncProvider } from './provider/syncProvider.ts';
import { dueSites, syncAlerts, watchedProviders } from './syncAlerts.ts';

const SITES_AT_A_TIME = 200;

/** Each minute: sites where a delay, a shelf or a window has ended though no sweep came in, then the providers' events. */
export const ALERT_JOB: JobQueue = {
  name: 'alerts',
  cron: '* * * * *',
  options: { retryLimit: 0, expireInSeconds: 300 },
  async handle({ db, now }, _data, signal) {
    const nowMs = now();
    for (const siteId of await dueSites(db, nowMs, SITES_AT_A_TIME)) {
      if (signal.aborted) return;
      await syncAlerts(db, siteId, nowMs);
    }
    for (const providerId of await watchedProviders(db)) {
      if (signal.aborted) return;
      await syncProvider(db, providerId, nowMs);
    }
  },
};
