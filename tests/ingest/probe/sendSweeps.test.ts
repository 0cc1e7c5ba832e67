import { createServer, type RequestListener, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { text } from 'node:stream/consumers';
import { afterEach, expect, test } from 'vitest';
import { sendSweeps } from '../../../ingest/probe/sendSweeps.ts';

const sweep = {
  point: 'handoff',
  at: '2026-03-01T12:00:00.000Z',
  instrument: 'probe-7',
  freq_mhz: [57, 63],
  level_dbmv: [20.1, null],
};
const never = new AbortController().signal;

let server: Server | undefined;
afterEach(async () => {
  const running = server;
  server = undefined;
  await new Promise((resolve) => (running === undefined ? resolve(null) : running.close(resolve)));
});

async function serve(listener: RequestListener, folder = ''): Promise<URL> {
  const running = createServer(listener);
  server = running;
  await new Promise<void>((resolve) => running.listen(0, '127.0.0.1', resolve));
  return new URL(`http://127.0.0.1:${(running.address() as AddressInfo).port}${folder}`);
}

const answering = (status: number, body: unknown, headers: Record<string, string> = {}) =>
  serve((_, response) => {
    response.writeHead(status, { 'content-type': 'application/json', ...headers });
    response.end(typeof body === 'string' ? body : JSON.stringify(body));
  });

const send = (url: URL, signal = never) => sendSweeps({ url, key: 'a-key' }, [sweep], signal);

test('sweeps go out in the words of the contract, under the site key', async () => {
  const seen: unknown[] = [];
  const url = await serve(async (request, response) => {
    const body = await text(request);
    seen.push(request.method, request.url, request.headers.authorization, JSON.parse(body));
    response.end(JSON.stringify({ accepted: 1, duplicates: 0, rejected: [] }));
  }, '/keep');
  expect(await send(url)).toEqual({ accepted: 1, duplicates: 0, rejected: [] });
  expect(seen).toEqual(['POST', '/keep/ingest/sweeps', 'Bearer a-key', { sweeps: [sweep] }]);
});

test('rejections come back with path and reason', async () => {
  const rejected = [{ index: 0, path: 'point', reason: 'no such point at this site' }];
  const url = await answering(200, { accepted: 0, duplicates: 0, rejected });
  expect(await send(url)).toEqual({ accepted: 0, duplicates: 0, rejected });
});

test.each([
  [401, 'refused', 'does not know this site key'],
  [403, 'refused', 'knows this site key and refuses it'],
  [413, 'refused', 'too large'],
  [429, 'unavailable', 'too often'],
  [500, 'unavailable', 'status 500'],
  [503, 'unavailable', 'cannot store sweeps just now'],
  [400, 'refused', 'status 400'],
])('status %i is %s: %s', async (status, kind, words) => {
  const url = await answering(status, { message: 'so says the server' });
  await expect(send(url)).rejects.toMatchObject({
    kind,
    message: expect.stringMatching(new RegExp(`${words}.*so says the server`)),
    action: expect.stringMatching(/\w{3}/),
  });
});

test.each([429, 503])('the pause that the server asks for with status %i is passed on', async (status) => {
  const url = await answering(status, {}, { 'retry-after': '7' });
  await expect(send(url)).rejects.toMatchObject({
    retryAfterMs: 7_000,
    action: expect.stringContaining('wait 7 s'),
  });
});

test.each([
  ['a page', 200, '<html>welcome</html>', {}],
  ['another JSON', 200, { ok: true }, {}],
  ['nothing', 200, '', {}],
  ['not found', 404, 'not here', {}],
  ['a way elsewhere', 302, '', { location: 'https://elsewhere.example/' }],
])('an address that answers with %s is not taken for the server', async (_, status, body, headers) => {
  const url = await answering(status, body, headers);
  await expect(send(url)).rejects.toMatchObject({
    kind: 'refused',
    message: expect.stringContaining('does not answer like the server'),
    action: expect.stringContaining('--url'),
  });
});

test('a server that is not there is unavailable, with the reason', async () => {
  const url = await answering(200, {});
  const running = server;
  await new Promise((resolve) => running?.close(resolve));
  server = undefined;
  await expect(send(url)).rejects.toMatchObject({
    kind: 'unavailable',
    message: expect.stringContaining('ECONNREFUSED'),
  });
});

test('half an answer is unavailable, so the sweep is sent again', async () => {
  const url = await serve((_, response) => {
    response.writeHead(200, { 'content-length': '500' });
    response.write('{"accepted": 1');
    setTimeout(() => response.destroy(), 20);
  });
  await expect(send(url)).rejects.toMatchObject({ kind: 'unavailable' });
});

test('an aborted request ends with the reason of its signal', async () => {
  const url = await serve(() => {});
  const ended = send(url, AbortSignal.timeout(30));
  await expect(ended).rejects.toMatchObject({ name: 'TimeoutError' });
  server?.closeAllConnections();
});
