/**
 * Durable sweeps a second over HTTP, alone and with the engine keeping up, beside COPY of the same sweeps into the same
 * table and COPY of one row a reading, all on one PostgreSQL in one run: `npm run bench:ingest`. Each measurement has
 * its own copy of one prepared database; the server is a process of its own; bodies are made before the clock starts.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { Agent, request } from 'node:http';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { sql } from 'kysely';
import { createDatabase, createPool, type Db } from '../../ingest/store/database.ts';
import { startEmbedded } from '../../ingest/store/embedded.ts';
import { migrate } from '../../ingest/store/migrate.ts';
import { createPartitions } from '../../ingest/store/partitions.ts';
import { BASELINE_SWEEPS, CARRIERS, loadSweep, POINTS, START_MS } from './ingestLoad.ts';
import { type BenchSite, makeSites } from './ingestSites.ts';

const SITES = 25;
const SWEEPS_A_POINT = 400;
const TIMES_A_BATCH = 50;
const CONNECTIONS = 4;
const ROUNDS = 3;
/** Rows a reading are so many more that a part of the sweeps is enough to know their pace. */
const READINGS_PART = 0.2;
/** Two plain tables for the same readings, without references: level and MER in a row of their own each, or side by side. */
const ROW_A_READING = {
  columns: 'quantity smallint, value_c smallint, primary key (site_id, point_id, at, freq_hz, quantity)',
  select: `quantity, value from sweep join grid using (site_id, grid_id),
    unnest(grid.freq_hz, level_cdbmv, mer_cdb) as one (hz, level, mer), lateral (values (1, level), (2, mer)) as each (quantity, value)`,
};
const ROW_A_CHANNEL = {
  columns: 'level_cdbmv smallint, mer_cdb smallint, primary key (site_id, point_id, at, freq_hz)',
  select: `level, mer from sweep join grid using (site_id, grid_id),
    unnest(grid.freq_hz, level_cdbmv, mer_cdb) as one (hz, level, mer)`,
};
const PORT = 8699;
const SWEEPS = SITES * POINTS.length * SWEEPS_A_POINT;
const SERVER = path.join(import.meta.dirname, '../../api/main.ts');

interface Batch {
  readonly key: string;
  readonly body: Buffer;
}

const folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-bench-'));
const postgres = await startEmbedded(folder);
try {
  const sites = await prepare();
  const batches = makeBatches(sites);
  console.log(
    `${SWEEPS} sweeps, ${CARRIERS} channels, level and MER; ${SITES} sites, ${POINTS.length} points each`,
  );

  const runs: Record<'alone' | 'withEngine' | 'copied', number[]> = { alone: [], withEngine: [], copied: [] };
  for (let round = 0; round < ROUNDS; round++) {
    runs.alone.push(
      await withClone(async (db, url) => {
        const rate = SWEEPS / (await overHttp(url, 'ingest', batches));
        if (round === 0) await copyOut(db);
        return rate;
      }),
    );
    runs.withEngine.push(
      await withClone(
        async (db, url) => SWEEPS / (await overHttp(url, 'ingest,engine', batches, () => engineIsDone(db))),
      ),
    );
    runs.copied.push(await withClone(async (db) => SWEEPS / (await copySweeps(db))));
  }
  const readings = await withClone((db) => copyReadings(db, ROW_A_READING));
  const channelRows = await withClone((db) => copyReadings(db, ROW_A_CHANNEL));

  report('HTTP, durable', runs.alone);
  report('HTTP, durable, engine keeping up', runs.withEngine);
  report('COPY, one row a sweep', runs.copied);
  report('COPY, one row a reading', [readings]);
  report('COPY, one row a channel', [channelRows]);
  const [alone, engine, copied] = [median(runs.alone), median(runs.withEngine), median(runs.copied)];
  console.log(`without the engine: ${(alone / copied).toFixed(2)} of COPY, one row a sweep`);
  console.log(`with the engine: ${(engine / copied).toFixed(2)} of COPY, one row a sweep (0.15 at least)`);
  console.log(
    `                 ${(engine / readings).toFixed(1)} times COPY, one row a reading (3 at least)`,
  );
  console.log(`                 ${(engine / channelRows).toFixed(1)} times COPY, one row a channel`);
} finally {
  await postgres.stop();
  await rm(folder, { recursive: true, force: true });
}

function report(what: string, rates: readonly number[]): void {
  const [low, high] = [Math.min(...rates), Math.max(...rates)].map((rate) => rate.toFixed(0));
  const spread = rates.length > 1 ? ` (${low} to ${high})` : '';
  console.log(`${what.padEnd(34)} ${median(rates).toFixed(0).padStart(7)} sweeps/s${spread}`);
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

/** The database that every measurement starts from: the engine has taken in the baselines' day. */
async function prepare(): Promise<BenchSite[]> {
  const pool = createPool(postgres.url);
  const db = createDatabase(pool);
  await migrate(db);
  const sites = await makeSites(db, pool, SITES);
  await withServer(postgres.url, 'engine', () => engineIsDone(db));
  await db.destroy();
  return sites;
}

/** Bodies in order of time, each some hours of all the points of one site. */
function makeBatches(sites: readonly BenchSite[]): Batch[] {
  const batches: Batch[] = [];
  for (let from = BASELINE_SWEEPS; from < BASELINE_SWEEPS + SWEEPS_A_POINT; from += TIMES_A_BATCH) {
    for (const [s, { key }] of sites.entries()) {
      const sweeps = Array.from({ length: TIMES_A_BATCH * POINTS.length }, (_, i) =>
        loadSweep(s, i % POINTS.length, from + Math.floor(i / POINTS.length)),
      );
      batches.push({ key, body: Buffer.from(JSON.stringify({ sweeps })) });
    }
  }
  return batches;
}

/** Seconds until every batch is acknowledged, and until `done` where given. */
async function overHttp(
  url: string,
  roles: string,
  batches: readonly Batch[],
  done: () => Promise<void> = async () => {},
): Promise<number> {
  return withServer(url, roles, async () => {
    const agent = new Agent({ keepAlive: true, maxSockets: CONNECTIONS });
    const queue = [...batches];
    const seconds = await timed(async () => {
      const send = async () => {
        for (let batch = queue.shift(); batch !== undefined; batch = queue.shift()) await post(agent, batch);
      };
      await Promise.all(Array.from({ length: CONNECTIONS }, send));
      await done();
    });
    agent.destroy();
    return seconds;
  });
}

async function post(agent: Agent, { key, body }: Batch): Promise<void> {
  const headers = {
    authorization: `Bearer ${key}`,
    'content-type': 'application/json',
    'content-length': body.length,
  };
  const call = request({ agent, port: PORT, method: 'POST', path: '/ingest/sweeps', headers });
  call.end(body);
  const [response] = await once(call, 'response');
  let text = '';
  for await (const chunk of response) text += chunk;
  if (JSON.parse(text).accepted !== TIMES_A_BATCH * POINTS.length) {
    throw new Error(`a batch was not accepted: ${text.slice(0, 300)}`);
  }
}

async function engineIsDone(db: Db): Promise<void> {
  for (;;) {
    const { rows } = await sql<{ left: boolean }>`select exists (select from arrival) as left`.execute(db);
    if (rows[0]!.left === false) return;
    await setTimeout(20);
  }
}

async function copyFile(db: Db): Promise<string> {
  const { rows } = await sql<{ data_directory: string }>`show data_directory`.execute(db);
  return path.join(rows[0]!.data_directory, 'bench.copy');
}

/** Leaves what HTTP stored as a file for COPY. */
async function copyOut(db: Db): Promise<void> {
  await sql`copy (select * from sweep where at >= ${sql.lit(timedFrom())}) to ${sql.lit(await copyFile(db))}`.execute(
    db,
  );
}

async function copySweeps(db: Db): Promise<number> {
  await createPartitions(db).ensure([START_MS]);
  const file = await copyFile(db);
  return timed(async () => void (await sql`copy sweep from ${sql.lit(file)}`.execute(db)));
}

/** Sweeps a second when the same readings are copied into such a table. */
async function copyReadings(db: Db, { columns, select }: typeof ROW_A_READING): Promise<number> {
  const file = await copyFile(db);
  const rows = `${file}.readings`;
  await sql`create table reading (site_id bigint, point_id bigint, at timestamptz, freq_hz integer, ${sql.raw(columns)})`.execute(
    db,
  );
  await sql`copy sweep from ${sql.lit(file)}`.execute(db);
  await sql`copy (
    select sweep.site_id, point_id, at, hz, ${sql.raw(select)}
    where at >= ${sql.lit(timedFrom())} and sweep.site_id <= ${sql.lit(SITES * READINGS_PART)}
  ) to ${sql.lit(rows)}`.execute(db);
  await sql`checkpoint`.execute(db);
  const seconds = await timed(async () => void (await sql`copy reading from ${sql.lit(rows)}`.execute(db)));
  return (SWEEPS * READINGS_PART) / seconds;
}

function timedFrom(): string {
  return new Date(START_MS + BASELINE_SWEEPS * 900_000).toISOString();
}

async function timed(work: () => Promise<void>): Promise<number> {
  const from = performance.now();
  await work();
  return (performance.now() - from) / 1000;
}

/** A copy of the prepared database, written to disk before it is used, dropped after. */
async function withClone<T>(use: (db: Db, url: string) => Promise<T>): Promise<T> {
  const name = 'measured';
  const adminUrl = new URL(postgres.url);
  adminUrl.pathname = '/postgres';
  const admin = createDatabase(createPool(adminUrl.href));
  await sql`create database ${sql.table(name)} template levelkeep strategy file_copy`.execute(admin);
  await sql`checkpoint`.execute(admin);
  const url = new URL(postgres.url);
  url.pathname = `/${name}`;
  const db = createDatabase(createPool(url.href));
  try {
    return await use(db, url.href);
  } finally {
    await db.destroy();
    await sql`drop database ${sql.table(name)} with (force)`.execute(admin);
    await admin.destroy();
  }
}

async function withServer<T>(url: string, roles: string, use: () => Promise<T>): Promise<T> {
  const settings = {
    DATABASE_URL: url,
    LEVELKEEP_DATA: folder,
    LEVELKEEP_PORT: String(PORT),
    LEVELKEEP_ROLES: roles,
    // The first line that is printed says that the server answers.
    LEVELKEEP_LOG: 'error',
  };
  const child = spawn(process.execPath, [SERVER], {
    env: { ...process.env, ...settings },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  await once(child.stdout, 'data');
  try {
    return await use();
  } finally {
    const ended = once(child, 'exit');
    child.kill('SIGTERM');
    await ended;
  }
}
