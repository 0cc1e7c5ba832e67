import type { Transaction } from 'kysely';
import type { Db } from './database.ts';
import type { Database } from './schema.ts';

/** Does `work` in a transaction: the caller's where there is one, so that its other statements stand or fall with it. */
export function inTransaction<T>(db: Db, work: (trx: Transaction<Database>) => Promise<T>): Promise<T> {
  return db.isTransaction ? work(db as Transaction<Database>) : db.transaction().execute(work);
}
