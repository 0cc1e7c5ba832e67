import { pino } from 'pino';
import { readConfig } from './config.ts';
import { loadEnvFile } from './envFile.ts';
import { startServer } from './server.ts';

try {
  loadEnvFile();
  await main();
} catch (error) {
  console.error(`levelkeep: ${explain(error)}`);
  process.exit(1);
}

async function main(): Promise<void> {
  const config = readConfig(process.env);
  const log = pino({ name: 'levelkeep', level: config.logLevel });
  const stopped = stopSignal();
  const server = await startServer(config, log);

  console.log(`Levelkeep answers at ${config.http.origin}`);
  if (server.setupLink !== null) {
    console.log(
      `Nobody has an account yet. Make the first, an administrator, within a day at\n  ${server.setupLink}`,
    );
  }
  console.log('Ctrl+C stops it.');

  await stopped;
  await server.stop();
  process.exit(0);
}

/** Resolves at the first SIGINT or SIGTERM; a second one ends the process at once. */
function stopSignal(): Promise<void> {
  return new Promise((resolve) => {
    let asked = false;
    for (const signal of ['SIGINT', 'SIGTERM'] as const) {
      process.on(signal, () => {
        if (asked) process.exit(1);
        asked = true;
        resolve();
      });
    }
  });
}

/** An error and what caused it, in one line each. */
function explain(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  return error.cause === undefined ? error.message : `${error.message}\n  because: ${explain(error.cause)}`;
}
