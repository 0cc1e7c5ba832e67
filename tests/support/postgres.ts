import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import pg from 'pg';
import type { TestProject } from 'vitest/node';
import { createDatabase, createPool } from '../../ingest/store/database.ts';
import { startEmbedded } from '../../ingest/store/embedded.ts';
import { migrate } from '../../ingest/store/migrate.ts';

declare module 'vitest' {
  interface ProvidedContext {
    postgresUrl: string;
  }
}

/** One PostgreSQL for the whole run, with a migrated `template_levelkeep` that tests clone. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-test-'));
  const server = await startEmbedded(folder);

  const admin = new pg.Client({ connectionString: server.url });
  await admin.connect();
  await admin.query('create database template_levelkeep');
  await admin.end();

  const templateUrl = new URL(server.url);
  templateUrl.pathname = '/template_levelkeep';
  const db = createDatabase(createPool(templateUrl.href));
  await migrate(db);
  await db.destroy();

  project.provide('postgresUrl', server.url);
  return async () => {
    await server.stop();
    await rm(folder, { recursive: true, force: true });
  };
}
