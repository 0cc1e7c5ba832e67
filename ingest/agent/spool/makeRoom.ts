import { countOf } from '../../probe/countOf.ts';
import type { Statements } from './statements.ts';
import { sweepsToThin, type WaitingSweep } from './thin.ts';

/** Thinning makes room for some time, as it reads the whole spool. */
const FILL_AFTER_THINNING = 0.9;

/** Thins out what waits when it is more than the spool may hold, keeps account of it, and says so. */
export function makeRoom(sql: Statements, limitBytes: number, say: (line: string) => void): void {
  const { bytes } = sql.bytes.get() as { bytes: number };
  if (bytes <= limitBytes) return;
  const dropped = sweepsToThin(
    sql.all.all() as unknown as WaitingSweep[],
    bytes - limitBytes * FILL_AFTER_THINNING,
  );
  for (const { sweep, to } of dropped) {
    sql.remove.run(sweep.id);
    sql.thin.run(sweep.point, to, sweep.atMs, sweep.atMs);
  }
  const from = new Date(Math.min(...dropped.map(({ sweep }) => sweep.atMs))).toISOString();
  const to = new Date(Math.max(...dropped.map(({ sweep }) => sweep.atMs))).toISOString();
  say(
    `the spool is full: ${countOf(dropped.length, 'unsent sweep', 'unsent sweeps')} from ${from} to ${to} thinned out; see status.json`,
  );
}
