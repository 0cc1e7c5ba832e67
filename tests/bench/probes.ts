/**
 * How punctually a server reads many instruments, and what that costs: `npm run bench:probes`. Modems are simulated by processes that
 * answer SNMP on ports of this machine; servers are whole ones, with the role `jobs` alone; nothing is sped up.
 * `-- --probes 5000 --interval 300 --minutes 5 --servers 1,2` is the run without options.
 */
import { type ChildProcess, fork, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { loadavg, tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { sql } from 'kysely';
import { probeTimes } from '../../api/probes/probeTimes.ts';
import { addProbe } from '../../api/probes/setUpProbes.ts';
import { NewProbeSchema } from '../../api/schemas/probes.ts';
import { createDatabase, createPool, type Db } from '../../ingest/store/database.ts';
import { startEmbedded } from '../../ingest/store/embedded.ts';
import { migrate } from '../../ingest/store/migrate.ts';
import { postgresCpu } from './postgresCpu.ts';
import { processUse } from './processUse.ts';

const SECRET = 'a secret for the bench, 32 characters';
const FIRST_PORT = 20_000;
const MODEMS_A_PROCESS = 5000;
const PROBES_A_SITE = 5;
const ZONE = 'America/Chicago';
const SET_UP_AT_ONCE = 8;
/** Until the servers have started and every probe's first time lies behind the beginning. */
const WARM_UP_MS = 20_000;
const ROOT = path.join(import.meta.dirname, '../..');

const { values } = parseArgs({
  options: {
    probes: { type: 'string', default: '5000' },
    interval: { type: 'string', default: '300' },
    minutes: { type: 'string', default: '5' },
    servers: { type: 'string', default: '1,2' },
  },
});
const [probes, intervalS, minutes] = [values.probes, values.interval, values.minutes].map(Number) as [
  number,
  number,
  number,
];

const folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-bench-'));
const database = await startEmbedded(folder);
const db = createDatabase(createPool(database.url));
const modems: ChildProcess[] = [];
try {
  await migrate(db);
  console.log(`${probes} modems of 32 channels, each read every ${intervalS} s`);
  await startModems();
  await setUpProbes();
  for (const count of values.servers.split(',').map(Number)) await measure(count);
} finally {
  for (const child of modems) child.disconnect();
  await db.destroy();
  await database.stop();
  await rm(folder, { recursive: true, force: true });
}

async function startModems(): Promise<void> {
  for (let from = 0; from < probes; from += MODEMS_A_PROCESS) {
    const count = Math.min(MODEMS_A_PROCESS, probes - from);
    const child = fork(path.join(import.meta.dirname, 'modems/main.ts'), [
      String(FIRST_PORT + from),
      String(count),
    ]);
    modems.push(child);
    await once(child, 'message');
  }
}

async function setUpProbes(): Promise<void> {
  const sites = Math.ceil(probes / PROBES_A_SITE);
  await sql`insert into site (name, time_zone, outlets) select 'Site ' || i, ${ZONE}, 0
    from generate_series(1, ${sites}) i`.execute(db);
  await sql`insert into point (site_id, name, kind, fed_by) select site_id, 'point ' || i, 'outlet', null
    from site, generate_series(1, ${PROBES_A_SITE}) i`.execute(db);
  const points = await db.selectFrom('point').select(['site_id', 'point_id']).limit(probes).execute();
  const waiting = [...points.entries()];
  const work = async () => {
    for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) await addOne(db, ...next);
  };
  await Promise.all(Array.from({ length: SET_UP_AT_ONCE }, work));
}

async function addOne(
  db: Db,
  index: number,
  { site_id, point_id }: { site_id: number; point_id: number },
): Promise<void> {
  const probe = NewProbeSchema.parse({
    pointId: point_id,
    name: `modem ${index}`,
    kind: 'modem',
    settings: {
      host: '127.0.0.1',
      port: FIRST_PORT + index,
      access: { version: '2c' },
      instrument: `modem-${index}`,
    },
    secrets: { community: 'bench' },
    schedule: { kind: 'every', intervalS },
    enabled: false,
  });
  await addProbe(db, site_id, probe, { secret: SECRET, by: 'bench', nowMs: Date.now() });
}

/** Begins all probes anew, each at its own place within the interval to come, and has `count` servers read them. */
async function measure(count: number): Promise<void> {
  await sql`truncate probe_run, probe_day`.execute(db);
  const beginMs = Date.now() + WARM_UP_MS;
  await beginAnew(beginMs);
  const servers = Array.from({ length: count }, (_, i) => startServer(i));
  const ended = Promise.all(servers.map((server) => once(server, 'exit')));
  await sleep(beginMs - Date.now());

  const before = await used(servers);
  await sleep(minutes * 60_000);
  const after = await used(servers);
  const load = loadavg()[1]!;
  for (const server of servers) server.kill('SIGTERM');
  await ended;

  await report(count, beginMs, before, after, load);
}

async function beginAnew(beginMs: number): Promise<void> {
  const rows = await db.selectFrom('probe').select(['site_id', 'probe_id', 'place', 'schedule']).execute();
  const dues = rows.map(({ schedule, place }) => new Date(probeTimes(schedule, ZONE, place).next(beginMs)!));
  await sql`
    update probe set enabled = true, claim = null, tries = 0, started_at = null, failures = 0, last_run_at = null,
      due_at = begun.due_at, wake_at = begun.due_at
    from unnest(${rows.map((row) => row.site_id)}::bigint[], ${rows.map((row) => row.probe_id)}::bigint[],
      ${dues}::timestamptz[]) begun (site_id, probe_id, due_at)
    where probe.site_id = begun.site_id and probe.probe_id = begun.probe_id`.execute(db);
}

function startServer(index: number): ChildProcess {
  return spawn(process.execPath, [path.join(ROOT, 'api/main.ts')], {
    cwd: folder,
    stdio: ['ignore', 'ignore', 'inherit'],
    env: {
      ...process.env,
      DATABASE_URL: database.url,
      LEVELKEEP_DATA: path.join(folder, `server-${index}`),
      LEVELKEEP_SECRET: SECRET,
      LEVELKEEP_PORT: '0',
      LEVELKEEP_ROLES: 'jobs',
      LEVELKEEP_PROBE_LOOPBACK: '1',
    },
  });
}

interface Use {
  readonly atMs: number;
  readonly postgresS: number | null;
  readonly servers: readonly { readonly cpuS: number; readonly residentMb: number }[];
}

async function used(servers: readonly ChildProcess[]): Promise<Use> {
  const uses = await Promise.all(servers.map(({ pid }) => processUse(pid!)));
  const known = uses.filter((use) => use !== null);
  return { atMs: Date.now(), postgresS: await postgresCpu(folder), servers: known };
}

async function report(count: number, beginMs: number, before: Use, after: Use, load: number): Promise<void> {
  const fromTo = [new Date(beginMs), new Date(after.atMs)] as const;
  const { rows } = await sql<Record<string, number | null>>`
    with run as (
      select *, extract(epoch from started_at - due_at) as late_s, extract(epoch from ended_at - started_at) as read_s
      from probe_run where ended_at between ${fromTo[0]} and ${fromTo[1]}
    )
    select count(*)::integer as runs, count(*) filter (where outcome = 'failed')::integer as failed,
      count(distinct (site_id, probe_id))::integer as probes,
      percentile_cont(0.5) within group (order by late_s)::float8 as late50,
      percentile_cont(0.99) within group (order by late_s)::float8 as late99, max(late_s)::float8 as latest,
      percentile_cont(0.5) within group (order by read_s)::float8 as read50,
      percentile_cont(0.99) within group (order by read_s)::float8 as read99
    from run`.execute(db);
  const { sweeps } = await db
    .selectFrom('sweep')
    .select((eb) => eb.fn.countAll<number>().as('sweeps'))
    .where('received_at', '>=', fromTo[0])
    .executeTakeFirstOrThrow();
  const told = rows[0]!;
  const seconds = (after.atMs - before.atMs) / 1000;
  const share = (from: number, to: number) => `${(((to - from) / seconds) * 100).toFixed(1)} %`;
  console.log(
    `\n${count} server(s), ${seconds.toFixed(0)} s, load average of the machine ${load.toFixed(1)}`,
  );
  console.log(
    `  runs ${told['runs']} of ${told['probes']} probes, ${told['failed']} failed, ${sweeps} sweeps stored`,
  );
  console.log(`  late by p50 ${s(told['late50'])}, p99 ${s(told['late99'])}, most ${s(told['latest'])}`);
  console.log(`  a reading takes p50 ${s(told['read50'])}, p99 ${s(told['read99'])}`);
  for (const [i, use] of after.servers.entries()) {
    const first = before.servers[i]!;
    console.log(
      `  server ${i + 1}: ${share(first.cpuS, use.cpuS)} of a core, ${use.residentMb.toFixed(0)} MB`,
    );
  }
  if (before.postgresS !== null && after.postgresS !== null) {
    console.log(`  PostgreSQL: ${share(before.postgresS, after.postgresS)} of a core`);
  }
}

function s(value: number | null | undefined): string {
  return value == null ? 'unknown' : `${value.toFixed(2)} s`;
}
