import { pino } from 'pino';
import { readConfig } from '../api/config.ts';
import { startEngine } from '../api/engine/startEngine.ts';
import { startServer } from '../api/server.ts';
import { createDatabase, createPool } from '../ingest/store/database.ts';
import { deliverThrough } from './demo/deliver.ts';
import { runDemo } from './demo/runDemo.ts';

const DEMO_FOLDER = '.levelkeep/demo';

try {
  await main();
} catch (error) {
  console.error(`demo: ${error instanceof Error ? error.message : error}`);
  process.exit(1);
}

async function main(): Promise<void> {
  const config = readConfig({ LEVELKEEP_DATA: DEMO_FOLDER, ...process.env });
  const log = pino({ name: 'levelkeep', level: config.logLevel });
  const stop = stopSignal();
  const folder = config.database.dataFolder;

  console.log(`Levelkeep demo, in ${folder}`);
  const server = await startServer(config, log);
  const pool = createPool(server.databaseUrl);
  const db = createDatabase(pool);
  try {
    const deps = { db, deliver: deliverThrough({ db, pool }), origin: config.http.origin, folder };
    const startHelper = () => startEngine({ url: server.databaseUrl, log });
    await runDemo({ ...deps, print: console.log, startHelper }, stop);
  } catch (error) {
    if (!stop.aborted) throw error;
  } finally {
    await db.destroy();
    await server.stop();
  }
  process.exit(0);
}

/** Aborts at the first SIGINT or SIGTERM; a second one ends the process at once. */
function stopSignal(): AbortSignal {
  const controller = new AbortController();
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.on(signal, () => {
      if (controller.signal.aborted) process.exit(1);
      controller.abort();
    });
  }
  return controller.signal;
}
