import { Kysely, PostgresDialect, type PostgresPoolClient } from 'kysely';
import pg from 'pg';
import type { Database } from './schema.ts';

export type Db = Kysely<Database>;

const INT8 = 20;
/** Longer than any queue for a connection should be; a database that neither answers nor refuses is away. */
const CONNECT_TIMEOUT_MS = 30_000;
const types = new pg.TypeOverrides();
// Identities and counts stay far below 2^53, so numbers are exact.
types.setTypeParser(INT8, Number);

/**
 * The one place that makes a connection pool: every session speaks UTC, `bigint` comes back as a number,
 * and an idle connection that breaks is reported instead of ending the process.
 */
export function createPool(
  url: string,
  options: { max?: number; connectTimeoutMs?: number; onIdleError?: (error: Error) => void } = {},
): pg.Pool {
  const pool = new pg.Pool({
    connectionString: url,
    max: options.max ?? 10,
    connectionTimeoutMillis: options.connectTimeoutMs ?? CONNECT_TIMEOUT_MS,
    types,
    options: '-c timezone=UTC',
  });
  pool.on('error', options.onIdleError ?? (() => {}));
  return pool;
}

/**
 * Query builder over one client, for statements that belong to the transaction which the client is in. It knows nothing of that
 * transaction: whoever began it ends it, and none is begun here.
 */
export function createDatabaseOn(client: pg.PoolClient): Db {
  const sameClient = { query: client.query.bind(client), release: () => {} } as PostgresPoolClient;
  const pool = { options: {}, connect: () => Promise.resolve(sameClient), end: () => Promise.resolve() };
  return new Kysely<Database>({ dialect: new PostgresDialect({ pool }) });
}

/** Query builder over a pool made by {@link createPool}; `destroy()` ends the pool too. */
export function createDatabase(pool: pg.Pool): Db {
  return new Kysely<Database>({ dialect: new PostgresDialect({ pool }) });
}
