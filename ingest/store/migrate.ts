import { promises as fs } from 'node:fs';
import path from 'node:path';
import { FileMigrationProvider, Migrator } from 'kysely/migration';
import type { Db } from './database.ts';

export const MIGRATION_FOLDER = path.join(import.meta.dirname, 'migrations');

/**
 * Brings the schema up to date. Several servers may start at once: the migrator holds a lock in the database,
 * one does the work and the others wait. Returns the names of the migrations that ran.
 */
export async function migrate(db: Db): Promise<string[]> {
  const provider = new FileMigrationProvider({ fs, path, migrationFolder: MIGRATION_FOLDER });
  const { error, results = [] } = await new Migrator({ db, provider }).migrateToLatest();

  if (error) {
    const failed = results.find((result) => result.status === 'Error');
    throw new Error(`migration ${failed?.migrationName ?? ''} failed: nothing of it was kept`, {
      cause: error,
    });
  }
  return results.map((result) => result.migrationName);
}
