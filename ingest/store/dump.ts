import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { createDatabase, createPool } from './database.ts';
import { describeSchema } from './describeSchema.ts';
import { startEmbedded } from './embedded.ts';
import { migrate } from './migrate.ts';

// Migrates an empty database of its own and writes what came of it to schema.sql beside this file.
const folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-dump-'));
const server = await startEmbedded(folder);
try {
  const db = createDatabase(createPool(server.url));
  await migrate(db);
  await writeFile(path.join(import.meta.dirname, 'schema.sql'), await describeSchema(db));
  await db.destroy();
  console.log('ingest/store/schema.sql is written');
} finally {
  await server.stop();
  await rm(folder, { recursive: true, force: true });
}
