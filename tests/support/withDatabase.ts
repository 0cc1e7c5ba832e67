import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { afterAll, beforeAll, inject } from 'vitest';
import { createDatabase, createPool, type Db } from '../../ingest/store/database.ts';

/** A migrated database of a test file's own, cloned from the template in a fraction of a second. */
export interface TestDatabase {
  readonly db: Db;
  readonly pool: pg.Pool;
  readonly url: string;
}

/** Call at the top of a *.db.test.ts file; the fields are there once `beforeAll` has run. */
export function withDatabase(): TestDatabase {
  const handle: { db?: Db; pool?: pg.Pool; url?: string } = {};
  const name = `test_${randomUUID().replaceAll('-', '')}`;

  beforeAll(async () => {
    await asAdmin(`create database ${name} template template_levelkeep`);
    const url = new URL(inject('postgresUrl'));
    url.pathname = `/${name}`;
    handle.url = url.href;
    handle.pool = createPool(url.href);
    handle.db = createDatabase(handle.pool);
  });

  afterAll(async () => {
    await handle.db?.destroy();
    await asAdmin(`drop database if exists ${name} with (force)`);
  });

  return handle as TestDatabase;
}

async function asAdmin(statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: inject('postgresUrl') });
  await client.connect();
  // Cloning a template fails while another session clones it, so clones take turns.
  await client.query('select pg_advisory_lock(1)');
  await client.query(statement);
  await client.end();
}
