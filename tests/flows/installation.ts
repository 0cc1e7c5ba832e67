import { once } from 'node:events';
import { createServer } from 'node:net';
import { pino } from 'pino';
import { readConfig } from '../../api/config.ts';
import { type RunningServer, startServer } from '../../api/server.ts';

export interface Installation {
  readonly origin: string;
  readonly server: RunningServer;
}

/** The server as `npm start` runs it, with its engine, on a free port and the database at `databaseUrl`. */
export async function startInstallation(databaseUrl: string): Promise<Installation> {
  const config = readConfig({
    DATABASE_URL: databaseUrl,
    LEVELKEEP_PORT: String(await freePort()),
    LEVELKEEP_SECRET: 'a secret for tests, 32 characters',
  });
  const server = await startServer(config, pino({ level: 'silent' }));
  return { origin: config.http.origin, server };
}

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const { port } = probe.address() as { port: number };
  probe.close();
  await once(probe, 'close');
  return port;
}
