import { acceptBaseline } from '../../api/baseline/acceptBaseline.ts';
import { runEnginePass } from '../../api/engine/runEnginePass.ts';
import { createAcceptSweeps } from '../../ingest/acceptSweeps.ts';
import { normalNoise } from '../api/trend/noise.ts';
import { givenPlan, givenPoint, givenSite } from '../support/givenSite.ts';
import type { TestDatabase } from '../support/withDatabase.ts';

export const HOUR_MS = 3_600_000;
export const DAY_MS = 24 * HOUR_MS;
export const FROM_MS = Date.parse('2026-03-02T06:00:00Z');

/** What stands on the feed at one moment: level by frequency, and what was looked for in vain. */
export interface Feed {
  readonly levelsDbmv: ReadonlyMap<number, number>;
  readonly lostMhz: readonly number[];
}

export interface HandoffSite {
  readonly siteId: number;
  readonly pointIds: number[];
  readonly planId: number;
  /** Takes sweeps in as the endpoint does, then lets the engine work. */
  deliver(sweeps: readonly unknown[]): Promise<void>;
  /** Accepts the first three days as the baseline. */
  acceptFirstDays(): Promise<void>;
}

/** A site with a plan of thirty channels and one point, its handoff, swept every hour. */
export async function givenHandoffSite({ db, pool }: TestDatabase, nowMs: number): Promise<HandoffSite> {
  const planId = await givenPlan(db);
  const siteId = await givenSite(db, { plan_id: planId, outlets: 40 });
  const pointId = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff', interval_s: 3600 });
  const acceptSweeps = createAcceptSweeps({ db, pool });
  return {
    siteId,
    pointIds: [pointId],
    planId,
    async deliver(sweeps) {
      const { rejected } = await acceptSweeps(siteId, sweeps, nowMs);
      if (rejected.length > 0) throw new Error(`rejected: ${JSON.stringify(rejected[0])}`);
      await runEnginePass({ db, pool }, { nowMs });
    },
    async acceptFirstDays() {
      const window = { siteId, pointId, fromMs: FROM_MS, toMs: FROM_MS + 3 * DAY_MS };
      await acceptBaseline(db, window, { acceptedBy: 'Ada Field', acceptedAtMs: nowMs });
      await runEnginePass({ db, pool }, { nowMs });
    },
  };
}

/** Hourly sweeps of what `feedAt` says, with the noise of an ordinary instrument. */
export function hourlySweeps(fromMs: number, toMs: number, feedAt: (atMs: number) => Feed): unknown[] {
  const sweeps: unknown[] = [];
  for (let atMs = fromMs; atMs < toMs; atMs += HOUR_MS) {
    const normal = normalNoise(atMs / HOUR_MS);
    const { levelsDbmv, lostMhz } = feedAt(atMs);
    const shared = 0.1 * normal();
    sweeps.push({
      point: 'handoff',
      at: new Date(atMs).toISOString(),
      instrument: 'probe-7',
      freq_mhz: [...levelsDbmv.keys()],
      level_dbmv: [...levelsDbmv.values()].map((level) => hundredth(level + shared + 0.2 * normal())),
      mer_db: [...levelsDbmv.keys()].map(() => hundredth(41 + 0.2 * normal())),
      lost: lostMhz,
    });
  }
  return sweeps;
}

function hundredth(value: number): number {
  return Math.round(value * 100) / 100;
}
