import type { DatabaseSync } from 'node:sqlite';

/** Does all of the work, or nothing of it when it throws. */
export function transact(database: DatabaseSync, work: () => void): void {
  database.exec('begin immediate');
  try {
    work();
    database.exec('commit');
  } catch (error) {
    // A full disk may have rolled back already.
    if (database.isTransaction) database.exec('rollback');
    throw error;
  }
}
