import type { ClockJump } from '../clock.ts';
import type { StampedRow, Statements } from './statements.ts';

/**
 * The times of waiting sweeps that this machine's clock gave in this run of the machine, moved to where they belong
 * once the clock is set.
 */
export function createTrueTimes(sql: Statements, boot: string) {
  return {
    /** By how much the clock was set since `uptimeMs`: for a reading that was under way meanwhile. */
    laterJumpsMs,

    /** Moves one sweep; answers whether its time was another. */
    mend(id: number): boolean {
      const row = sql.stampedOne.get(boot, id) as StampedRow | undefined;
      return row !== undefined && moveToTrueTime(row);
    },

    /** Notes a jump and moves all that wait and were never tried; answers how many were moved. */
    correct(jump: ClockJump): number {
      const correction = sql.correction.run(boot, jump.uptimeMs, jump.wallMs, jump.deltaMs, 0);
      // In the direction of the jump the farthest first, so that none lands on another.
      const rows = sql.stamped.all(boot, -Math.sign(jump.deltaMs)) as unknown as StampedRow[];
      const moved = rows.filter(moveToTrueTime).length;
      sql.corrected.run(moved, correction.lastInsertRowid);
      return moved;
    },
  };

  function laterJumpsMs(uptimeMs: number): number {
    return (sql.laterJumps.get(boot, uptimeMs) as { delta_ms: number }).delta_ms;
  }

  /** The time that the clock gave, and all that it was set by since. */
  function moveToTrueTime(row: StampedRow): boolean {
    const atMs = freeTime(row, row.original_at_ms + laterJumpsMs(row.uptime_ms));
    if (atMs === row.at_ms) return false;
    sql.move.run(atMs, row.id);
    return true;
  }

  function freeTime({ id, point, instrument }: StampedRow, wantedMs: number): number {
    for (let atMs = wantedMs; ; atMs++) {
      const twin = sql.twin.get(point, atMs, instrument) as { id: number } | undefined;
      if (twin === undefined || twin.id === id) return atMs;
    }
  }
}
