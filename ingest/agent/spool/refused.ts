import type { DatabaseSync } from 'node:sqlite';

/** What the server found wrong with a sweep. */
export interface Rejection {
  readonly path: string;
  readonly reason: string;
}

const KEPT = 'id, point, instrument, at_ms, body, bytes, boot, uptime_ms, original_at_ms';

/** Takes a waiting sweep out of the queue and keeps it with the server's reason. */
export function refuseSweep(
  database: DatabaseSync,
  id: number,
  { path, reason }: Rejection,
  nowMs: number,
): void {
  database
    .prepare(
      `insert into refused (${KEPT}, path, reason, refused_at_ms) select ${KEPT}, ?, ?, ? from sweep where id = ?`,
    )
    .run(path, reason, nowMs, id);
  database.prepare('delete from sweep where id = ?').run(id);
}

/** Puts back into the queue what was refused for a time that the clock of this run of the machine gave. */
export function returnRefusedForTime(database: DatabaseSync, boot: string): void {
  putBack(database, "boot = ? and path like '%.at'", boot);
}

/** Puts everything that was refused back into the queue; answers how many sweeps. */
export function returnRefused(database: DatabaseSync): number {
  return putBack(database, 'true');
}

function putBack(database: DatabaseSync, which: string, ...values: string[]): number {
  const { changes } = database
    .prepare(`insert into sweep (${KEPT}) select ${KEPT} from refused where ${which} on conflict do nothing`)
    .run(...values);
  // One whose twin waits already stays with its reason.
  database.prepare(`delete from refused where ${which} and id in (select id from sweep)`).run(...values);
  return Number(changes);
}
