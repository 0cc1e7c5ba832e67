import { once } from 'node:events';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { buffer } from 'node:stream/consumers';

/** How the server treats a request; the last two have stored the sweeps by then. */
export type Manner =
  | 'well'
  | 'busy'
  | 'broken'
  | 'away'
  | 'hang up'
  | 'page'
  | 'half an answer'
  | 'store and hang up';

export interface FaultyServer {
  readonly url: string;
  /** Asked before each request that brings sweeps; heartbeats come through. */
  manner: () => Manner;
  /** Requests by how they were treated. */
  readonly treated: Map<Manner, number>;
  stop(): Promise<void>;
}

type Fetch = (request: Request) => Response | Promise<Response>;

/** The real server behind one that fails as it is told to. */
export async function startFaultyServer(fetch: Fetch): Promise<FaultyServer> {
  const treated = new Map<Manner, number>();
  const http = createServer((request, response) => {
    const isHeartbeat = request.url === '/ingest/heartbeat';
    const manner = isHeartbeat ? 'well' : server.manner();
    if (!isHeartbeat) treated.set(manner, (treated.get(manner) ?? 0) + 1);
    treat(manner, fetch, request, response).catch((error) => response.destroy(error));
  }).listen(0, '127.0.0.1');
  await once(http, 'listening');
  const server: FaultyServer = {
    url: `http://127.0.0.1:${(http.address() as AddressInfo).port}`,
    manner: () => 'well',
    treated,
    async stop() {
      http.closeAllConnections();
      await new Promise((resolve) => http.close(resolve));
    },
  };
  return server;
}

async function treat(
  manner: Manner,
  fetch: Fetch,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const body = await buffer(request);
  if (manner === 'busy') return void response.writeHead(429, { 'retry-after': '1' }).end('{}');
  if (manner === 'broken') return void response.writeHead(500).end('oops');
  if (manner === 'away') return void response.writeHead(503).end('{}');
  if (manner === 'page') return void response.writeHead(200).end('<html>log in to the guest network</html>');
  if (manner === 'hang up') return void request.socket.destroy();

  const answer = await fetch(
    new Request(`http://server${request.url}`, {
      method: request.method!,
      headers: request.headers as Record<string, string>,
      body: new Uint8Array(body),
    }),
  );
  const text = await answer.text();
  if (manner === 'store and hang up') return void request.socket.destroy();
  response.writeHead(answer.status, { ...Object.fromEntries(answer.headers), 'content-length': text.length });
  if (manner === 'well') return void response.end(text);
  response.write(text.slice(0, text.length / 2));
  setTimeout(() => response.destroy(), 10);
}
