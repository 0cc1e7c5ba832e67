import { setTimeout } from 'node:timers/promises';
import type { Db } from '../../ingest/store/database.ts';

const LOOK_EVERY_MS = 300;

/** Waits until the engine has taken in everything that has arrived. */
export async function waitForEngine(
  db: Db,
  onShare: (share: number) => void,
  signal: AbortSignal,
): Promise<void> {
  let most = 0;
  while (true) {
    const waiting = await pointsWithNews(db);
    if (waiting === 0) return;
    most = Math.max(most, waiting);
    onShare(1 - waiting / most);
    await setTimeout(LOOK_EVERY_MS, undefined, { signal });
  }
}

async function pointsWithNews(db: Db): Promise<number> {
  const { points } = await db
    .selectFrom((eb) => eb.selectFrom('arrival').select(['site_id', 'point_id']).distinct().as('news'))
    .select((eb) => eb.fn.countAll<number>().as('points'))
    .executeTakeFirstOrThrow();
  return points;
}
