import type { Db } from '../../ingest/store/database.ts';
import type { Deps } from '../deps.ts';
import type { JobQueue } from '../jobs/jobQueue.ts';
import { deliver } from './deliver.ts';
import { planDigests } from './planDigests.ts';
import { planMessages } from './planMessages.ts';

/** Handed over at once beside others; a slow mail server holds up no more than its own. */
const AT_ONCE = 4;

/** Every minute: what the rules have to tell by now, digests that are due, and all messages whose time has come. */
export const TELL_PEOPLE: JobQueue = {
  name: 'tell-people',
  cron: '* * * * *',
  options: { policy: 'short', retryLimit: 0, expireInSeconds: 300, deleteAfterSeconds: 3600 },
  handle: (deps) => tellPeople(deps),
};

export const SEND_MESSAGE: JobQueue<{ readonly deliveryId: number }> = {
  name: 'send-message',
  atOnce: AT_ONCE,
  options: { policy: 'short', retryLimit: 0, expireInSeconds: 300, deleteAfterSeconds: 3600 },
  handle: async (deps, { deliveryId }) => {
    await deliver(deps, deliveryId);
  },
};

export async function tellPeople(deps: Deps): Promise<void> {
  const nowMs = deps.now();
  await planMessages(deps.db, nowMs);
  await planDigests(deps.db, deps.origin, nowMs);
  for (const { deliveryId, sendAt } of await soonDue(deps.db, nowMs)) {
    await deps.enqueue(SEND_MESSAGE.name, { deliveryId }, { key: String(deliveryId), after: sendAt });
  }
}

/** Messages to be sent before the next pass, and those that are late. A job that got lost is simply put in again. */
async function soonDue(db: Db, nowMs: number): Promise<{ deliveryId: number; sendAt: Date }[]> {
  return db
    .selectFrom('delivery')
    .select(['delivery_id as deliveryId', 'send_at as sendAt'])
    .where('state', '=', 'waiting')
    .where('send_at', '<=', new Date(nowMs + 60_000))
    .orderBy('send_at')
    .execute();
}
