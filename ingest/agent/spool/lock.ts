import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { DatabaseSync } from 'node:sqlite';

/** SQLite: another process holds the file. */
const BUSY = 5;

/**
 * Takes a spool folder for this process until it ends, however it ends; answers false when another agent has it.
 * The lock is SQLite's own on a file beside the spool, which the system lets go of when a process dies.
 */
export function lockSpool(folder: string): boolean {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const lock = new DatabaseSync(path.join(folder, 'lock.db'));
  try {
    lock.exec('begin exclusive');
    held.add(lock);
    return true;
  } catch (error) {
    lock.close();
    if (error instanceof Error && 'errcode' in error && Number(error.errcode) === BUSY) return false;
    throw error;
  }
}

/** A lock that nobody holds on to would be collected, and let go. */
const held = new Set<DatabaseSync>();
