import { existsSync } from 'node:fs';
import { hostname } from 'node:os';
import path from 'node:path';
import { sql } from 'kysely';
import type { Logger } from 'pino';
import { createAcceptSweeps } from '../ingest/acceptSweeps.ts';
import { INGEST_LIMITS, type IngestLimits } from '../ingest/contract/limits.ts';
import { createDatabase, createPool, type Db } from '../ingest/store/database.ts';
import { migrate } from '../ingest/store/migrate.ts';
import { createAuth } from './accounts/auth.ts';
import { keptSecret } from './accounts/keptSecret.ts';
import { issueSetupLink } from './accounts/oneTimeLinks.ts';
import { createApp } from './app.ts';
import type { Config } from './config.ts';
import { startEngine } from './engine/startEngine.ts';
import { openJobs } from './jobs/openJobs.ts';
import { QUEUES } from './jobs/queues.ts';
import { listen } from './listen.ts';
import { isInMaintenance } from './maintenance/windowsAt.ts';
import { openDatabase } from './openDatabase.ts';
import { openDriver } from './probes/openDriver.ts';
import { startPolling } from './probes/startPolling.ts';
import { retentionQueue } from './retention/retentionQueue.ts';

const LONGEST_MONTH_DAYS = 31;
const WEB_FOLDER = path.join(import.meta.dirname, '../web/dist');

export interface RunningServer {
  readonly db: Db;
  readonly databaseUrl: string;
  /** Makes the first administrator; null once there is an account. */
  readonly setupLink: string | null;
  /** Stops taking requests, finishes those that run, then lets go of the database and ends our own PostgreSQL. */
  stop(): Promise<void>;
}

/** Starts the database, brings its schema up to date, then serves the roles that `config` names. */
export async function startServer(config: Config, log: Logger): Promise<RunningServer> {
  const stops: (() => Promise<void>)[] = [];
  const stop = async () => {
    for (const step of stops.splice(0).reverse()) await step();
  };

  try {
    const database = await openDatabase(config.database, log);
    stops.push(database.stop);
    const pool = createPool(database.url, {
      onIdleError: (err) => log.warn({ err }, 'a database connection broke'),
    });
    const db = createDatabase(pool);
    stops.push(() => pool.end());
    await reach(db);
    await migrate(db);
    const queues = [...QUEUES, retentionQueue(config.retention.keepSweepsDays)];
    const jobs = await openJobs(database.url, queues, (err) => log.warn({ err }, 'the job queue failed'));
    stops.push(() => jobs.stop());
    if (config.roles.includes('engine')) {
      const engine = startEngine({ url: database.url, log });
      stops.push(() => engine.stop());
    }

    const { host, port, origin, trustProxy } = config.http;
    const secret = config.accounts.secret ?? (await keptSecret(config.database.dataFolder));
    const auth = createAuth({ db, origin, secret });
    const webFolder = existsSync(path.join(WEB_FOLDER, 'index.html')) ? WEB_FOLDER : null;
    if (webFolder === null) log.warn('the web pages are not built: "npm start" builds them');
    const outside = { origin, secret, notify: config.notify };
    const deps = { db, pool, now: Date.now, log, enqueue: jobs.enqueue, ...outside };
    const limits = ingestLimits(config.retention.keepSweepsDays);
    if (config.roles.includes('jobs')) {
      await jobs.work(deps);
      const polls = startPolling({
        ...deps,
        by: serverName(),
        atOnce: config.probes.atOnce,
        openDriver: (probe, note) =>
          openDriver({ secret, allowLoopback: config.probes.allowLoopback, now: Date.now }, probe, note),
        acceptSweeps: createAcceptSweeps({ db, pool, limits }),
        isHeld: ({ siteId, providerId }, atMs) => isInMaintenance(db, { siteId, providerId, atMs }),
      });
      stops.push(() => polls.stop());
    }
    const appDeps = { ...deps, limits, auth, trustProxy, webFolder, roles: config.roles };
    const listener = await listen(createApp(appDeps).fetch, host, port);
    stops.push(() => listener.close());

    const link = config.roles.includes('web') ? await issueSetupLink(db, Date.now()) : null;
    return { db, databaseUrl: database.url, setupLink: link && origin + link.path, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

/** A sweep that comes late finds the month it belongs to still there: none is taken that lies a month less than that back. */
function ingestLimits(keepSweepsDays: number): IngestLimits {
  return {
    ...INGEST_LIMITS,
    maxAgeDays: Math.min(INGEST_LIMITS.maxAgeDays, keepSweepsDays - LONGEST_MONTH_DAYS),
  };
}

/** Tells this server from others on the same database. */
function serverName(): string {
  return `${hostname()} ${process.pid}`;
}

async function reach(db: Db): Promise<void> {
  try {
    await sql`select 1`.execute(db);
  } catch (cause) {
    throw new Error("the database doesn't answer: is it up, and is DATABASE_URL right?", { cause });
  }
}
