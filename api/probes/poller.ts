import type { Logger } from 'pino';
import type { Db } from '../../ingest/store/database.ts';
import { type ClaimedProbe, claimDue } from './claimDue.ts';
import { finishRun } from './finishRun.ts';
import { putOffMissed } from './putOffMissed.ts';
import { type ReadingDeps, readClaimed } from './readClaimed.ts';
import { releaseClaim } from './releaseClaim.ts';

export interface PollerDeps extends ReadingDeps {
  readonly db: Db;
  readonly log: Logger;
  /** Name of this server in the queue. */
  readonly by: string;
  /** Readings at once. */
  readonly atOnce: number;
}

export interface Poller {
  /** Looks at the queue once and starts what may start; answers how many it began. */
  pass(): Promise<number>;
  /** Resolves when no reading is under way any more. */
  idle(): Promise<void>;
}

/** Reads what is due, not too much at once. A reading that `signal` cuts short is given back. */
export function createPoller(deps: PollerDeps, signal: AbortSignal): Poller {
  const { db, now, log, by, atOnce } = deps;
  const reading = new Set<Promise<void>>();
  return {
    async pass() {
      const limit = atOnce - reading.size;
      if (limit <= 0 || signal.aborted) return 0;
      await putOffMissed(db, now());
      const claims = await claimDue(db, { limit, by, nowMs: now() });
      for (const claimed of claims) {
        const over: Promise<void> = handle(claimed).finally(() => reading.delete(over));
        reading.add(over);
      }
      return claims.length;
    },
    async idle() {
      while (reading.size > 0) await Promise.all(reading);
    },
  };

  /** Never rejects: what can't be written down is taken up by another pass once the claim is over. */
  async function handle(claimed: ClaimedProbe): Promise<void> {
    const { siteId, probeId } = claimed;
    try {
      if (signal.aborted) return await releaseClaim(db, claimed, now());
      const result = await readClaimed(deps, claimed, signal);
      const wasOurs = await finishRun(db, claimed, result, now());
      if (!wasOurs)
        log.warn({ siteId, probeId }, 'a reading ended after its probe was taken over, changed or removed');
    } catch (err) {
      if (signal.aborted) await releaseClaim(db, claimed, now()).catch(() => {});
      else log.error({ err, siteId, probeId }, 'what came of a reading could not be written down');
    }
  }
}
