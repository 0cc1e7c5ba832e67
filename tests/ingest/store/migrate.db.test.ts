import { readFile } from 'node:fs/promises';
import path from 'node:path';
import pg from 'pg';
import { expect, inject, test } from 'vitest';
import { createDatabase, createPool } from '../../../ingest/store/database.ts';
import { describeSchema } from '../../../ingest/store/describeSchema.ts';
import { MIGRATION_FOLDER, migrate } from '../../../ingest/store/migrate.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();

test('migrate(db) has nothing left to do on a migrated database', async () => {
  expect(await migrate(database.db)).toEqual([]);
});

test('the migrated schema is the one in schema.sql (npm run db:dump writes it)', async () => {
  const written = await readFile(path.join(MIGRATION_FOLDER, '../schema.sql'), 'utf8');

  expect(await describeSchema(database.db)).toBe(written);
});

test('two servers that start at once on an empty database migrate it once', async () => {
  const admin = new pg.Client({ connectionString: inject('postgresUrl') });
  await admin.connect();
  await admin.query('create database two_starts');
  const url = new URL(inject('postgresUrl'));
  url.pathname = '/two_starts';
  const both = [createDatabase(createPool(url.href)), createDatabase(createPool(url.href))];

  const ran = await Promise.all(both.map(migrate));

  expect(ran.map((names) => names.length).sort((a, b) => a - b)[0]).toBe(0);
  expect(ran.flat().length).toBeGreaterThan(0);
  expect(new Set(ran.flat()).size).toBe(ran.flat().length);
  await Promise.all(both.map((db) => db.destroy()));
  await admin.query('drop database two_starts with (force)');
  await admin.end();
});
