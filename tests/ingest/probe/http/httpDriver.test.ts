import { createServer, type RequestListener, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, expect, test } from 'vitest';
import { createHttpSource } from '../../../../ingest/agent/sources/httpSource.ts';
import { createHttpDriver } from '../../../../ingest/probe/http/httpDriver.ts';
import { httpMappingSchema } from '../../../../ingest/probe/http/httpMapping.ts';
import type { HttpFormat, HttpOptions } from '../../../../ingest/probe/http/httpReadings.ts';

const NOW_MS = Date.parse('2026-03-01T12:00:00Z');
const SWEEP = { freq_mhz: [63, 57], level_dbmv: [19.8, 20.1], mer_db: [38.5, null] };
const SECRET = 'Bearer of a secret';
const never = new AbortController().signal;

const servers: Server[] = [];
afterEach(() => {
  for (const server of servers.splice(0)) {
    server.closeAllConnections();
    server.close();
  }
});

async function serve(listener: RequestListener): Promise<URL> {
  const server = createServer(listener);
  servers.push(server);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return new URL(`http://127.0.0.1:${(server.address() as AddressInfo).port}/sweep`);
}
const answering = (value: unknown) => serve((_, response) => response.end(JSON.stringify(value)));

function options(url: URL, changes: Partial<HttpOptions> = {}): HttpOptions {
  return {
    target: { url, headers: { authorization: SECRET } },
    format: { format: 'contract' },
    point: 'riser',
    instrument: 'meter-3',
    zone: 'America/Chicago',
    quotesAnswer: true,
    patience: { timeoutMs: 400, mostBytes: 20_000 },
    ...changes,
  };
}
function read(url: URL, changes: Partial<HttpOptions> = {}, notes: string[] = [], signal = never) {
  const note = (line: string) => notes.push(line);
  return createHttpDriver({ ...options(url, changes), now: () => NOW_MS, note }).read(signal);
}
const records = (changes: object = {}, rows?: string): HttpFormat => ({
  format: 'records',
  rows,
  mapping: httpMappingSchema.parse({
    columns: { frequency: 'f', level: 'dbuv', mer: 'mer' },
    levelUnit: 'dBuV',
    ...changes,
  }),
});
const refusal = (message: string, action = '') =>
  expect.objectContaining({
    kind: 'instrument',
    message: expect.stringContaining(message),
    action: expect.stringContaining(action),
  });

test('a sweep of the contract without a time gets the moment at which it was asked for', async () => {
  expect(await read(await answering(SWEEP))).toEqual({
    atMs: NOW_MS,
    instrument: 'meter-3',
    ambientC: null,
    freqMhz: [57, 63],
    levelDbmv: [20.1, 19.8],
    merDb: [null, 38.5],
    cnrDb: null,
    berPre: null,
    berPost: null,
    lostMhz: [],
  });
});

test('an instrument without a name is called by its address', async () => {
  const url = await answering(SWEEP);
  expect((await read(url, { instrument: null })).instrument).toBe(`http-${url.host}`);
});

test('of several sweeps the newest is the reading, and the others are told of', async () => {
  const notes: string[] = [];
  const at = (time: string) => ({ ...SWEEP, at: `2026-03-01T${time}:00Z` });
  const sweep = await read(await answering({ sweeps: [at('11:00'), at('11:30'), at('11:15')] }), {}, notes);
  expect(new Date(sweep.atMs).toISOString()).toBe('2026-03-01T11:30:00.000Z');
  expect(notes).toEqual(['the answer holds 3 sweeps; the newest is taken']);
});

test('the agent takes all of them, and mends only the times that its own clock gave', async () => {
  const clock = { read: () => ({ wallMs: NOW_MS, uptimeMs: 77 }) };
  const url = await answering({ sweeps: [{ ...SWEEP, at: '2026-03-01T11:00:00Z' }, SWEEP] });
  const { readings } = await createHttpSource(options(url), clock).read(never);
  expect(readings.map(({ sweep, uptimeMs }) => [sweep.atMs, uptimeMs])).toEqual([
    [NOW_MS - 3_600_000, null],
    [NOW_MS, 77],
  ]);
});

test('records become a sweep by the names and units of the mapping', async () => {
  const url = await answering({
    scan: {
      channels: [
        { f: 57, dbuv: 80.1, mer: 38 },
        { f: 63, dbuv: null, mer: '--' },
      ],
    },
  });
  expect(await read(url, { format: records({}, 'scan.channels') })).toMatchObject({
    atMs: NOW_MS,
    instrument: 'meter-3',
    freqMhz: [57, 63],
    levelDbmv: [20.1, null],
    merDb: [38, null],
  });
});

test('records with a time of their own keep it, in the zone of the site', async () => {
  const url = await answering([{ f: 57, dbuv: 80, mer: 38, t: '2026-03-01 05:30:00' }]);
  const time = { from: 'column', column: 't', pattern: 'YYYY-MM-DD hh:mm:ss' };
  const { atMs } = await read(url, { format: records({ time }) });
  expect(new Date(atMs).toISOString()).toBe('2026-03-01T11:30:00.000Z');
});

test.each([
  [401, 'answers 401, so it does not let this reader in', 'Authorization'],
  [404, 'so there is nothing at this address', 'check the path /sweep'],
  [429, 'so it is asked too often', 'less often'],
  [503, 'so it has a fault of its own', 'look at the instrument'],
])('a status of %i is explained, and its body never quoted', async (status, message, action) => {
  const url = await serve((_, response) => response.writeHead(status).end('inner words'));
  const reading = read(url);
  await expect(reading).rejects.toEqual(refusal(message, action));
  await expect(reading).rejects.not.toThrow('inner words');
});

test('a page instead of JSON is told without a word of it', async () => {
  const url = await serve((_, response) => response.end('<html>inner words</html>'));
  await expect(read(url)).rejects.toEqual(refusal('something that is no JSON', 'sign in'));
  await expect(read(url)).rejects.not.toThrow('inner');
});

test('what is wrong in the answer is named where it may be quoted, and only there', async () => {
  const url = await answering({ ...SWEEP, level_dbmv: [19.8, 'inner'], colour: 1 });
  await expect(read(url)).rejects.toEqual(refusal('colour: is no field of a sweep'));
  const quiet = read(url, { quotesAnswer: false });
  await expect(quiet).rejects.toEqual(refusal('its answer is JSON, but not a sweep of the ingest contract'));
  await expect(quiet).rejects.not.toThrow('colour');
});

test('a missing field is named with those that are there', async () => {
  const url = await answering([{ freq: 57, dbuv: 80 }]);
  await expect(read(url, { format: records() })).rejects.toEqual(
    refusal('column “f” is not in the header row, which has “freq”, “dbuv”'),
  );
});

test('an empty list of sweeps is no reading', async () => {
  await expect(read(await answering({ sweeps: [] }))).rejects.toEqual(refusal('answers with no sweep'));
});

test('an answer without end is cut off', async () => {
  const url = await serve((_, response) => {
    const more = () => response.write('x'.repeat(10_000)) && setImmediate(more);
    response.on('drain', more);
    more();
  });
  await expect(read(url, { patience: { timeoutMs: 5_000, mostBytes: 1024 * 1024 } })).rejects.toEqual(
    refusal('answers with more than 1 MiB'),
  );
});

test('an answer that never ends is given up when its time is over', async () => {
  const url = await serve((_, response) => response.write('{'));
  await expect(read(url)).rejects.toEqual(refusal('did not finish its answer within 0.4 s'));
});

test('an aborted reading ends with the reason of its signal', async () => {
  const url = await serve(() => {});
  const reading = read(url, { patience: { timeoutMs: 9_000, mostBytes: 1 } }, [], AbortSignal.timeout(50));
  await expect(reading).rejects.toMatchObject({ name: 'TimeoutError' });
});

test('a redirect on the same host is followed, secret and all', async () => {
  const url = await serve((request, response) => {
    if (request.url === '/sweep') response.writeHead(302, { location: '/there' }).end();
    else response.end(JSON.stringify({ ...SWEEP, instrument: request.headers.authorization }));
  });
  expect((await read(url)).instrument).toBe(SECRET);
});

test('a redirect to another host is not followed, and the other host hears nothing', async () => {
  let asked = 0;
  const other = await serve((_, response) => {
    asked++;
    response.end(JSON.stringify(SWEEP));
  });
  const url = await serve((_, response) => response.writeHead(302, { location: other.href }).end());
  await expect(read(url)).rejects.toEqual(refusal(`sends on to ${other.host}, which is not followed`));
  expect(asked).toBe(0);
});

test('redirects in a ring end', async () => {
  const url = await serve((_, response) => response.writeHead(302, { location: '/sweep' }).end());
  await expect(read(url)).rejects.toEqual(refusal('sends on more than 3 times'));
});

test('a port at which nothing listens is told from a host that nobody knows', async () => {
  const url = await answering(SWEEP);
  const closed = servers.pop()!;
  await new Promise((resolve) => closed.close(resolve));
  await expect(read(url)).rejects.toEqual(refusal('nothing listens at that port'));
  const patience = { timeoutMs: 20_000, mostBytes: 1 };
  await expect(read(new URL('http://meter.invalid/'), { patience })).rejects.toEqual(
    refusal('meter.invalid: no machine of that name is known here'),
  );
});

test('the way of asking can be given from outside', async () => {
  const fetch = async () => new Response(JSON.stringify(SWEEP));
  expect((await read(new URL('http://192.0.2.20/'), { fetch })).freqMhz).toEqual([57, 63]);
});
