/**
 * How quick the first page of a fleet is, at 500 and at 5,000 sites, beside a bare round trip to the same
 * PostgreSQL in the same run: `npm run bench:fleet`. Requests go through the app itself, without a socket.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { sql } from 'kysely';
import { pino } from 'pino';
import { createRouter } from '../../api/router.ts';
import { fleetRoutes } from '../../api/routes/fleet.ts';
import { createDatabase, createPool, type Db } from '../../ingest/store/database.ts';
import { startEmbedded } from '../../ingest/store/embedded.ts';
import { migrate } from '../../ingest/store/migrate.ts';
import { OUTSIDE } from '../support/outside.ts';

const FLEETS = [500, 5000];
const WARM_UP = 30;
const REQUESTS = 300;

const PAGES = {
  'first page': '/api/fleet',
  'first page, search': '/api/fleet?search=valley north',
  'first page, one verdict': '/api/fleet?verdict=act',
  'slice in the middle': '/api/fleet?offset=250',
} as const;

type Figures = Readonly<Record<string, { readonly p50: number; readonly p99: number }>>;

const folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-bench-'));
const server = await startEmbedded(folder);
const pool = createPool(server.url);
const db = createDatabase(pool);
try {
  await migrate(db);
  const measured: Figures[] = [];
  for (const sites of FLEETS) {
    console.log(`\n${sites} sites: filling in`);
    await fill(db, sites);
    measured.push(await measure(sites));
  }
  printGrowth(measured);
} finally {
  await db.destroy();
  await server.stop();
  await rm(folder, { recursive: true, force: true });
}

/** Brings the fleet up to `sites` invented sites of 40 providers, each with a rank. */
async function fill(db: Db, sites: number): Promise<void> {
  await sql`insert into provider (name) select (array['Harbour', 'Valley', 'Ridge', 'Lakeside'])[1 + i % 4] || ' Cable ' || i
    from generate_series(1, 40) i on conflict do nothing`.execute(db);
  await sql`
    insert into site (name, town, time_zone, outlets, provider_id)
    select (array['Alder', 'Birch', 'Cedar', 'Dogwood', 'Elm'])[1 + i % 5] || ' Court ' || i,
      (array['Northby', 'Southby', 'Eastby', 'Westby'])[1 + i % 4], 'America/Chicago', 20 + i % 200, 1 + i % 40
    from generate_series((select count(*) from site) + 1, ${sites}) i`.execute(db);
  await sql`
    insert into site_risk (site_id, outlet_days, sentence, verdict, side, since, days_to_limit, last_sweep_at, strip, parts, computed_at)
    select site_id, abs(hashint8(site_id)) % 100000 / 100.0,
      'Level falling 0.09 dB a day since 12 Oct between riser amplifier and floor 3 (building side); 2.7 dB below baseline (2.4 to 3.0); 48 outlets at stake.',
      (array['steady', 'steady', 'steady', 'watch', 'act', 'silent', 'no-baseline'])[1 + site_id % 7], 'building',
      now(), 19, now(), array_fill((-270)::smallint, array[48]) || array_fill(1::smallint, array[48]), '{"points": []}', now()
    from site on conflict do nothing`.execute(db);
  await sql`vacuum analyze site`.execute(db);
  await sql`vacuum analyze site_risk`.execute(db);
}

async function measure(sites: number): Promise<Figures> {
  const app = fleetApp();
  const figures: Record<string, { p50: number; p99: number }> = {};
  figures['bare "select 1"'] = await timed(async () => void (await pool.query('select 1')));
  for (const [name, address] of Object.entries(PAGES)) {
    figures[name] = await timed(async () => {
      const answer = await app.request(address);
      const page = (await answer.json()) as { sites: number; rows: unknown[] };
      if (page.sites !== sites || page.rows.length === 0)
        throw new Error(`${address} answered ${answer.status}`);
    });
  }

  for (const [name, { p50, p99 }] of Object.entries(figures)) {
    console.log(
      `  ${name.padEnd(26)} p50 ${p50.toFixed(2).padStart(7)} ms   p99 ${p99.toFixed(2).padStart(7)} ms`,
    );
  }
  return figures;
}

function fleetApp() {
  const app = createRouter();
  app.use(async (c, next) => {
    c.set('actor', { name: 'bench', email: null, role: 'viewer', via: 'token' });
    await next();
  });
  return app.route(
    '/',
    fleetRoutes({
      db,
      pool,
      now: Date.now,
      log: pino({ level: 'silent' }),
      enqueue: async () => {},
      ...OUTSIDE,
    }),
  );
}

async function timed(request: () => Promise<void>): Promise<{ p50: number; p99: number }> {
  for (let i = 0; i < WARM_UP; i++) await request();
  const times: number[] = [];
  for (let i = 0; i < REQUESTS; i++) {
    const start = performance.now();
    await request();
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  const quantile = (share: number): number =>
    times[Math.min(times.length - 1, Math.ceil(share * times.length) - 1)]!;
  return { p50: quantile(0.5), p99: quantile(0.99) };
}

function printGrowth(measured: readonly Figures[]): void {
  const [small, large] = [measured[0]!, measured.at(-1)!];
  console.log(`\ngrowth from ${FLEETS[0]} to ${FLEETS.at(-1)} sites, p50`);
  for (const name of Object.keys(small)) {
    console.log(`  ${name.padEnd(26)} ${(large[name]!.p50 / small[name]!.p50).toFixed(2)} times`);
  }
}
