import { once } from 'node:events';
import type { Server } from 'node:http';
import { createAdaptorServer } from '@hono/node-server';
import type { Hono } from 'hono';

const LAST_ANSWERS_MS = 10_000;

export interface Listener {
  /** Takes no more connections, lets running requests finish, and cuts those that don't within 10 s. */
  close(): Promise<void>;
}

/** Serves `fetch` at an address. Throws an Error that names LEVELKEEP_PORT when it can't be had. */
export async function listen(fetch: Hono['fetch'], host: string, port: number): Promise<Listener> {
  const server = createAdaptorServer({ fetch }) as Server;
  server.listen(port, host);
  await once(server, 'listening').catch((error: NodeJS.ErrnoException) => {
    throw new Error(`can't listen on ${host} port ${port}: ${reason(error)}`, { cause: error });
  });
  return { close: () => closeServer(server) };
}

async function closeServer(server: Server): Promise<void> {
  const closed = once(server, 'close');
  server.close();
  server.closeIdleConnections();
  const cut = setTimeout(() => server.closeAllConnections(), LAST_ANSWERS_MS);
  await closed;
  clearTimeout(cut);
}

function reason({ code, message }: NodeJS.ErrnoException): string {
  if (code === 'EADDRINUSE') return 'another program listens there; stop it or set LEVELKEEP_PORT';
  if (code === 'EACCES') return 'this user may not; set LEVELKEEP_PORT to 1024 or higher';
  if (code === 'EADDRNOTAVAIL') return 'this machine has no such address; set LEVELKEEP_HOST';
  return message;
}
