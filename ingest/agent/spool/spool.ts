import type { DatabaseSync, SQLInputValue } from 'node:sqlite';
import { type ContractSweep, contractSweep } from '../../probe/contractSweep.ts';
import type { ClockJump, ClockReading } from '../clock.ts';
import type { Reading } from '../source.ts';
import { makeRoom } from './makeRoom.ts';
import { type Rejection, refuseSweep, returnRefused, returnRefusedForTime } from './refused.ts';
import { type BatchRow, type CountsRow, prepareStatements } from './statements.ts';
import { transact } from './transact.ts';
import { createTrueTimes } from './trueTimes.ts';

/** A waiting sweep as it goes out. */
export interface SpooledSweep {
  readonly id: number;
  readonly sweep: ContractSweep;
}

/** What happened to a batch: the ids of its sweeps by the server's answer. */
export interface BatchOutcome {
  readonly stored: readonly number[];
  readonly rejected: readonly (Rejection & { readonly id: number })[];
}

export interface SpoolCounts {
  readonly waiting: number;
  readonly waitingBytes: number;
  readonly oldestAtMs: number | null;
  readonly refused: number;
}

export interface Thinned {
  readonly point: string;
  readonly leftOver: string;
  readonly sweeps: number;
  readonly fromMs: number;
  readonly toMs: number;
}

const CARRIED = 'point, instrument, at_ms, body, bytes, boot, uptime_ms, original_at_ms, is_tried, failures';
/** An allowance for what a row costs beside its text: names, times, its lines in the indexes. */
const ROW_BYTES = 150;

export interface SpoolOptions {
  readonly database: DatabaseSync;
  readonly limitBytes: number;
  /** This run of the machine. */
  readonly boot: string;
  readonly say: (line: string) => void;
}

/** Sweeps between the instrument and the server's answer, safe from a killed process and a power cut. */
export type Spool = ReturnType<typeof createSpool>;

/** Every function throws SQLite's error when the disk takes no more (`isDiskFull`). */
export function createSpool({ database, limitBytes, boot, say }: SpoolOptions) {
  const sql = prepareStatements(database);
  const times = createTrueTimes(sql, boot);

  return {
    /** Puts readings in safety, all or none; one that is there already is left as it is. */
    add(point: string, readings: readonly Reading[]): void {
      transact(database, () => {
        for (const reading of readings) insert(point, reading);
        makeRoom(sql, limitBytes, say);
      });
    },

    /** The next sweeps to send: oldest first, those that a server failed on last. */
    nextBatch(mostSweeps: number, mostBytes: number): SpooledSweep[] {
      const rows = sql.batch.all(mostSweeps) as unknown as BatchRow[];
      let bytes = 0;
      const fitting = rows.filter((row, i) => {
        bytes += row.bytes;
        return i === 0 || bytes <= mostBytes;
      });
      return fitting.map((row) => ({ id: row.id, sweep: toContract(row) }));
    },

    /** Before sweeps go out: from here on the server may have them. */
    markTried(ids: readonly number[]): void {
      transact(database, () => {
        for (const id of ids) sql.tried.run(1, id);
      });
    },

    /** The server certainly did not store these: their times may be mended again. */
    markUntried(ids: readonly number[]): void {
      transact(database, () => {
        for (const id of ids) sql.tried.run(0, id);
        for (const id of ids) times.mend(id);
      });
    },

    /** The server failed on this one: others go first. */
    putBack(id: number): void {
      sql.failed.run(id);
    },

    /** Lets go of what the server has; keeps what it rejected, with its reason. */
    settle({ stored, rejected }: BatchOutcome, nowMs: number): void {
      transact(database, () => {
        for (const id of stored) sql.remove.run(id);
        for (const { id, path, reason } of rejected) {
          // A time that was mended here while the server had the sweep.
          if (path.endsWith('.at') && times.mend(id)) sql.tried.run(0, id);
          else refuseSweep(database, id, { path, reason }, nowMs);
        }
      });
    },

    /**
     * After the clock was set: moves the times that the clock gave before. A sweep that the server may have already
     * keeps its time, or it would be stored twice. Answers how many were moved.
     */
    correctTimes(jump: ClockJump): number {
      let moved = 0;
      transact(database, () => {
        returnRefusedForTime(database, boot);
        moved = times.correct(jump);
      });
      return moved;
    },

    /** Puts back what was refused; answers how many sweeps. */
    returnRefused(): number {
      let returned = 0;
      transact(database, () => {
        returned = returnRefused(database);
      });
      return returned;
    },

    /** The last time noted in this run of the machine. */
    anchor(): ClockReading | null {
      const row = sql.anchor.get(boot) as { wall_ms: number; uptime_ms: number } | undefined;
      return row === undefined ? null : { wallMs: row.wall_ms, uptimeMs: row.uptime_ms };
    },
    setAnchor({ wallMs, uptimeMs }: ClockReading): void {
      sql.setAnchor.run(boot, wallMs, uptimeMs);
    },

    /** Takes over what another spool holds, and empties it. */
    takeOver(other: DatabaseSync): void {
      returnRefused(other);
      const rows = other.prepare(`select ${CARRIED} from sweep order by id`).all() as Record<
        string,
        SQLInputValue
      >[];
      const insertRow = database.prepare(`
        insert into sweep (${CARRIED}) values (${CARRIED.replaceAll(/\w+/g, '?')}) on conflict do nothing`);
      transact(database, () => {
        for (const row of rows) insertRow.run(...Object.values(row));
        makeRoom(sql, limitBytes, say);
      });
      other.exec('delete from sweep');
    },

    counts(): SpoolCounts {
      const row = sql.counts.get() as unknown as CountsRow;
      return {
        waiting: row.waiting,
        waitingBytes: row.waiting_bytes,
        oldestAtMs: row.oldest_at_ms,
        refused: row.refused,
      };
    },
    thinned(): Thinned[] {
      return sql.thinned.all() as unknown as Thinned[];
    },
  };

  function insert(point: string, { sweep, uptimeMs }: Reading): void {
    const { point: _, at: __, instrument, ...body } = contractSweep(point, sweep);
    const text = JSON.stringify(body);
    const deltaMs = uptimeMs === null ? 0 : times.laterJumpsMs(uptimeMs);
    const atMs = sweep.atMs + deltaMs;
    const { changes } = sql.insert.run(
      point,
      instrument,
      atMs,
      text,
      Buffer.byteLength(text) + ROW_BYTES,
      uptimeMs === null ? null : boot,
      uptimeMs,
      deltaMs === 0 ? null : sweep.atMs,
    );
    if (changes === 0 && (sql.twin.get(point, atMs, instrument) as { body: string }).body !== text) {
      say(
        `a second sweep of ${point} by ${instrument} at ${new Date(atMs).toISOString()} has other numbers: the first is kept`,
      );
    }
  }
}

function toContract({ point, instrument, at_ms, body }: BatchRow): ContractSweep {
  return { point, at: new Date(at_ms).toISOString(), instrument, ...JSON.parse(body) };
}
