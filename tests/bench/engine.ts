/**
 * How fast the trend engine is, and that it stays so: `npm run bench:engine`. Sweeps a second through the whole engine, from their
 * rows to its states, findings and hours, beside plain HTTP ingest of the same sweeps into the same PostgreSQL; a year of one point
 * replayed; the size of its state, and the heap, after 1, 6 and 12 months.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { sql } from 'kysely';
import { emptyMemory, runEnginePass } from '../../api/engine/runEnginePass.ts';
import { createAcceptSweeps } from '../../ingest/acceptSweeps.ts';
import { announceChange } from '../../ingest/store/announceChange.ts';
import { createDatabase, createPool } from '../../ingest/store/database.ts';
import { startEmbedded } from '../../ingest/store/embedded.ts';
import { migrate } from '../../ingest/store/migrate.ts';
import { BASELINE_SWEEPS, CARRIERS, loadSweep, POINTS, START_MS } from './ingestLoad.ts';
import { type BenchSite, makeSites } from './ingestSites.ts';
import { postgresCpu } from './postgresCpu.ts';

const SITES = 10;
const ROUNDS = 8;
/** Moments a body holds of all points of a site, as a box sends them that was away for half a day. */
const TIMES_A_BATCH = 50;
/** Moments that come one by one, as from a box that is never away. */
const LIVE_TIMES = 40;
const CONNECTIONS = 4;
const PORT = 8698;
const DAY_SWEEPS = 96;
const MONTH_SWEEPS = 30 * DAY_SWEEPS;
const YEAR_SWEEPS = 365 * DAY_SWEEPS;
const SERVER = path.join(import.meta.dirname, '../../api/main.ts');

const collectGarbage = globalThis.gc;
if (collectGarbage === undefined)
  throw new Error('run it as npm run bench:engine: it needs node --expose-gc');

const folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-bench-'));
const postgres = await startEmbedded(folder);
const pool = createPool(postgres.url);
const db = createDatabase(pool);
const memory = emptyMemory();
try {
  await migrate(db);
  const sites = await makeSites(db, pool, SITES + 1);
  await enginePass();
  console.log(`${CARRIERS} channels, level and MER, every 15 minutes; ${POINTS.length} points a site`);
  const next = await measureBatches(sites.slice(0, SITES));
  await measureLive(sites.slice(0, SITES), next);
  await measureYear(sites[SITES]!);
} finally {
  await db.destroy();
  await postgres.stop();
  await rm(folder, { recursive: true, force: true });
}

/** The engine and HTTP ingest take turns with the same sweeps. Returns the next moment's number. */
async function measureBatches(sites: readonly BenchSite[]): Promise<number> {
  const sweeps = sites.length * POINTS.length * TIMES_A_BATCH * ROUNDS;
  const engine = stopwatch();
  let ingestSeconds = 0;
  let from = BASELINE_SWEEPS;
  await withIngest(async () => {
    for (let round = 0; round < ROUNDS; round++, from += TIMES_A_BATCH) {
      const bodies = sites.map(({ key }, s) => ({ key, body: batchBody(s, from, TIMES_A_BATCH) }));
      ingestSeconds += await seconds(() => postAll(bodies));
      await engine.time(enginePass);
    }
  });
  const ingest = sweeps / ingestSeconds;
  console.log(`\nin batches of ${TIMES_A_BATCH} moments, ${sites.length} sites, ${sweeps} sweeps`);
  line('HTTP ingest alone', `${ingest.toFixed(0)} sweeps/s`);
  engine.report(sweeps, ', 3,000 at least on one core');
  line('engine to HTTP ingest', (sweeps / engine.seconds / ingest).toFixed(2));
  return from;
}

/** Each moment of each site is a transaction of its own. */
async function measureLive(sites: readonly BenchSite[], from: number): Promise<void> {
  const accept = createAcceptSweeps({ db, pool });
  const sweeps = sites.length * POINTS.length * LIVE_TIMES;
  const engine = stopwatch();
  for (let n = from; n < from + LIVE_TIMES; n++) {
    for (const [s, { siteId }] of sites.entries()) await accept(siteId, moments(s, n, 1), Date.now());
    await engine.time(enginePass);
  }
  console.log(`\nmoment by moment, ${sites.length} sites, ${sweeps} sweeps`);
  engine.report(sweeps, '');
}

/** One point of a site of its own, month by month, then all of it again. */
async function measureYear({ siteId }: BenchSite): Promise<void> {
  const accept = createAcceptSweeps({ db, pool });
  const nowMs = START_MS + 400 * 86_400_000;
  console.log('\na year of one point');
  for (
    let from = BASELINE_SWEEPS, until = MONTH_SWEEPS;
    from < YEAR_SWEEPS;
    from = until, until = from + MONTH_SWEEPS
  ) {
    until = Math.min(YEAR_SWEEPS, until);
    for (let n = from; n < until; n += 1000) {
      const part = Array.from({ length: Math.min(1000, until - n) }, (_, i) => loadSweep(SITES, 0, n + i));
      await accept(siteId, part, nowMs);
    }
    await enginePass();
    const month = until / MONTH_SWEEPS;
    if ([1, 6, 12].includes(month)) line(`after ${month} months`, `${await stateBytes(siteId)}; ${heap()}`);
  }
  const { rows } = await pool.query<{ point_id: number }>(
    'select min(point_id) as point_id from point where site_id = $1',
    [siteId],
  );
  await announceChange(db, siteId, [rows[0]!.point_id], 0);
  const replay = stopwatch();
  await replay.time(enginePass);
  line('replayed from nothing', `${replay.seconds.toFixed(1)} s (8 s at most)`);
  replay.report(YEAR_SWEEPS, '');
}

async function stateBytes(siteId: number): Promise<string> {
  const { rows } = await sql<{ point: number; stored: number; shared: number; checkpoints: number }>`
    select length(point_state.state::text) as point, pg_column_size(point_state.state) as stored,
      length(site_state.state::text) as shared,
      (select count(*)::int from checkpoint where checkpoint.site_id = ${siteId}) as checkpoints
    from point_state join site_state on site_state.site_id = point_state.site_id
    where point_state.site_id = ${siteId}
    order by point_state.last_at desc limit 1`.execute(db);
  const { point, stored, shared, checkpoints } = rows[0]!;
  return `state ${point} bytes as text, ${stored} stored, ${shared} shared by the site, ${checkpoints} checkpoints`;
}

function heap(): string {
  collectGarbage!();
  return `heap ${(process.memoryUsage().heapUsed / 2 ** 20).toFixed(1)} MiB`;
}

async function enginePass(): Promise<void> {
  await runEnginePass({ db, pool }, { nowMs: Date.now(), memory });
}

function moments(site: number, from: number, count: number): Record<string, unknown>[] {
  return Array.from({ length: count * POINTS.length }, (_, i) =>
    loadSweep(site, i % POINTS.length, from + Math.floor(i / POINTS.length)),
  );
}

function batchBody(site: number, from: number, count: number): string {
  return JSON.stringify({ sweeps: moments(site, from, count) });
}

async function postAll(bodies: readonly { readonly key: string; readonly body: string }[]): Promise<void> {
  const queue = [...bodies];
  const send = async () => {
    for (let next = queue.shift(); next !== undefined; next = queue.shift()) {
      const headers = { authorization: `Bearer ${next.key}`, 'content-type': 'application/json' };
      const init = { method: 'POST', headers, body: next.body };
      const answer = await fetch(`http://127.0.0.1:${PORT}/ingest/sweeps`, init);
      const { accepted } = (await answer.json()) as { accepted: number };
      if (accepted !== TIMES_A_BATCH * POINTS.length) throw new Error(`${accepted} sweeps were accepted`);
    }
  };
  await Promise.all(Array.from({ length: CONNECTIONS }, send));
}

/** Ingest as a process of its own, as fleets run it. */
async function withIngest(use: () => Promise<void>): Promise<void> {
  const settings = {
    DATABASE_URL: postgres.url,
    LEVELKEEP_DATA: folder,
    LEVELKEEP_PORT: String(PORT),
    LEVELKEEP_ROLES: 'ingest',
  };
  const child = spawn(process.execPath, [SERVER], {
    env: { ...process.env, ...settings },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  await once(child.stdout, 'data');
  try {
    await use();
  } finally {
    const ended = once(child, 'exit');
    child.kill('SIGTERM');
    await ended;
  }
}

interface Stopwatch {
  readonly seconds: number;
  time(work: () => Promise<void>): Promise<void>;
  /** Prints the pace, and what a sweep costs in node and in PostgreSQL. */
  report(sweeps: number, goal: string): void;
}

/** Times work by the clock and by the CPU of this process and of PostgreSQL; others may be at work on the machine. */
function stopwatch(): Stopwatch {
  let [clock, node, database] = [0, 0, 0];
  return {
    get seconds() {
      return clock;
    },
    async time(work) {
      const databaseBefore = (await postgresCpu(postgres.folder)) ?? Number.NaN;
      const before = process.cpuUsage();
      clock += await seconds(work);
      const { user, system } = process.cpuUsage(before);
      node += (user + system) / 1e6;
      database += ((await postgresCpu(postgres.folder)) ?? Number.NaN) - databaseBefore;
    },
    report(sweeps, goal) {
      const micros = (cpuSeconds: number) => ((cpuSeconds / sweeps) * 1e6).toFixed(0);
      line('engine, one worker', `${(sweeps / clock).toFixed(0)} sweeps/s by the clock`);
      line('', `${micros(node)} µs of CPU a sweep in node, ${micros(database)} in PostgreSQL`);
      line('', `${(sweeps / (node + database)).toFixed(0)} sweeps/s on one core that is free${goal}`);
    },
  };
}

async function seconds(work: () => Promise<void>): Promise<number> {
  const from = performance.now();
  await work();
  return (performance.now() - from) / 1000;
}

function line(what: string, figure: string): void {
  console.log(`  ${what.padEnd(24)} ${figure}`);
}
