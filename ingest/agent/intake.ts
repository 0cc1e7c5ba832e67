import type { DatabaseSync } from 'node:sqlite';
import type { Reading } from './source.ts';
import { isDiskFull } from './spool/isDiskFull.ts';
import type { Spool } from './spool/spool.ts';

export interface IntakeDeps {
  readonly disk: Spool;
  readonly memory: Spool;
  readonly memoryDatabase: DatabaseSync;
  readonly say: (line: string) => void;
}

export interface Intake {
  /** Puts readings in safety: on the disk, or in memory while the disk takes nothing. */
  add(point: string, readings: readonly Reading[]): void;
  /** Tries to bring to the disk what waits in memory. */
  moveToDisk(): void;
  readonly isDiskFull: boolean;
}

export function createIntake({ disk, memory, memoryDatabase, say }: IntakeDeps): Intake {
  let isFull = false;
  return {
    get isDiskFull() {
      return isFull;
    },
    add(point, readings) {
      if (readings.length === 0) return;
      try {
        disk.add(point, readings);
      } catch (error) {
        if (!isDiskFull(error)) throw error;
        noteFull(true);
        memory.add(point, readings);
      }
    },
    moveToDisk() {
      if (!isFull) return;
      try {
        disk.takeOver(memoryDatabase);
        noteFull(false);
      } catch (error) {
        if (!isDiskFull(error)) throw error;
      }
    },
  };

  function noteFull(now: boolean): void {
    if (now === isFull) return;
    isFull = now;
    say(
      now
        ? 'the disk takes nothing more: make room; readings are sent straight from memory, and lost if this process ends'
        : 'the disk takes sweeps again',
    );
  }
}
