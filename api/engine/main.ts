import { parentPort, workerData } from 'node:worker_threads';
import { pino } from 'pino';
import { createDatabase, createPool } from '../../ingest/store/database.ts';
import { runEngine } from './runEngine.ts';
import { SITES_AT_ONCE } from './runEnginePass.ts';
import { type EngineThreadData, STOP } from './startEngine.ts';

const { url, logLevel } = workerData as EngineThreadData;
const log = pino({ name: 'levelkeep engine', level: logLevel });
const pool = createPool(url, {
  // A site at work holds one connection and may ask for another.
  max: 2 * SITES_AT_ONCE,
  onIdleError: (err) => log.warn({ err }, 'a database connection broke'),
});
const db = createDatabase(pool);
const stopping = new AbortController();
parentPort?.once('message', (message) => {
  if (message === STOP) stopping.abort();
});

await runEngine({ db, pool, now: Date.now, log }, stopping.signal);
await pool.end();
parentPort?.close();
