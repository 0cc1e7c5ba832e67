import { createServer, type IncomingMessage, type RequestListener, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { pino } from 'pino';
import { afterEach, describe, expect, test } from 'vitest';
import { claimDue } from '../../../api/probes/claimDue.ts';
import { httpKind } from '../../../api/probes/kinds/http.ts';
import { openDriver } from '../../../api/probes/openDriver.ts';
import { readClaimed } from '../../../api/probes/readClaimed.ts';
import type { RunResult } from '../../../api/probes/runResult.ts';
import { type HttpSettingsInput, HttpSettingsSchema } from '../../../api/schemas/httpProbe.ts';
import { createAcceptSweeps } from '../../../ingest/acceptSweeps.ts';
import { ProbeError } from '../../../ingest/probe/probeError.ts';
import { readSweeps } from '../../../ingest/store/readSweeps.ts';
import { SECRET } from '../../support/testApp.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { type GivenProbe, givenProbe } from './givenProbe.ts';

const database = withDatabase();
const SWEEP = { freq_mhz: [63, 57], level_dbmv: [19.8, 20.1], mer_db: [38.5, null] };
const TOKEN = 'Bearer of a secret';

const servers: Server[] = [];
afterEach(() => {
  for (const server of servers.splice(0)) {
    server.closeAllConnections();
    server.close();
  }
});

/** An instrument on this machine; its address without a slash at the end. */
async function serve(listener: RequestListener): Promise<string> {
  const server = createServer(listener);
  servers.push(server);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
}
const answering = (value: unknown) => serve((_, response) => response.end(JSON.stringify(value)));

function probeAt(url: string, settings: object = {}, secrets: Record<string, string> = {}) {
  const all = { url, format: { is: 'contract' }, ...settings } as HttpSettingsInput;
  return givenProbe(database.db, Date.now(), { kind: 'http', settings: all, secrets } as object);
}

/** Reads the probe as a server does that was asked to. */
async function read({ probeId }: GivenProbe, allowLoopback = true): Promise<RunResult> {
  const { db, pool } = database;
  const claims = await claimDue(db, { limit: 50, by: 'test', nowMs: Date.now() });
  const claimed = claims.find((one) => one.probeId === probeId)!;
  const deps = {
    openDriver: (one: typeof claimed, note: (line: string) => void) =>
      openDriver({ secret: SECRET, allowLoopback, now: Date.now }, one, note),
    acceptSweeps: createAcceptSweeps({ db, pool }),
    isHeld: async () => false,
    now: Date.now,
    log: pino({ level: 'silent' }),
  };
  return readClaimed(deps, claimed, new AbortController().signal);
}

const storedAt = ({ siteId, pointId }: GivenProbe) =>
  readSweeps(database.db, siteId, pointId, Date.now() - 3_600_000, Date.now() + 1000);

describe('an instrument with a web address', () => {
  test('that answers with a sweep of the contract is read and stored', async () => {
    const probe = await probeAt(await answering(SWEEP), { instrument: 'riser meter' });
    expect(await read(probe)).toMatchObject({
      outcome: 'read',
      told: '2 channels from 57 to 63 MHz, level 19.8 to 20.1 dBmV, MER 38.5 to 38.5 dB',
    });
    expect(await storedAt(probe)).toMatchObject([
      { instrument: 'riser meter', freqMhz: [57, 63], levelDbmv: [20.1, 19.8], merDb: [null, 38.5] },
    ]);
  });

  test('that answers with a list of its own is read by the names and units of the set-up', async () => {
    const entries = [
      { f: 57e6, lvl: 80.1, q: 38 },
      { f: 63e6, lvl: null, q: null },
    ];
    const format = {
      is: 'records',
      rows: 'scan.list',
      mapping: {
        columns: { frequency: 'f', level: 'lvl', mer: 'q' },
        frequencyUnit: 'Hz',
        levelUnit: 'dBuV',
      },
    };
    const probe = await probeAt(await answering({ scan: { list: entries } }), { format });
    expect(await read(probe)).toMatchObject({ outcome: 'read' });
    expect(await storedAt(probe)).toMatchObject([
      { freqMhz: [57, 63], levelDbmv: [20.1, null], merDb: [38, null] },
    ]);
  });

  test('reads a time that names no zone by the clock of the site', async () => {
    const wall = new Intl.DateTimeFormat('sv-SE', {
      timeZone: 'America/Chicago',
      dateStyle: 'short',
      timeStyle: 'medium',
    });
    const atMs = Math.floor(Date.now() / 1000) * 1000 - 60_000;
    const time = { from: 'column', column: 't', pattern: 'YYYY-MM-DD hh:mm:ss' };
    const mapping = { columns: { frequency: 'f', level: 'l' }, levelUnit: 'dBmV', time };
    const url = await answering([{ f: 57, l: 20, t: wall.format(atMs) }]);
    const probe = await probeAt(url, { format: { is: 'records', mapping } });
    expect(await read(probe)).toMatchObject({ outcome: 'read' });
    expect((await storedAt(probe)).map((sweep) => sweep.atMs)).toEqual([atMs]);
  });

  test.each([
    [{ by: 'headers', names: ['X-Key'] }, { 'X-Key': TOKEN }, 'x-key', TOKEN],
    [{ by: 'password', user: 'reader' }, { password: 'quiet' }, 'authorization', 'Basic cmVhZGVyOnF1aWV0'],
  ])('is given the sealed secret that it asks for: %o', async (access, secrets, header, value) => {
    const asked: IncomingMessage[] = [];
    const url = await serve((request, response) => {
      asked.push(request);
      response.end(JSON.stringify(SWEEP));
    });
    const probe = await probeAt(url, { access }, secrets as unknown as Record<string, string>);
    expect(await read(probe)).toMatchObject({ outcome: 'read' });
    expect(asked.map(({ headers }) => headers[header])).toEqual([value]);
  });

  test.each([
    ['a page', '<h1>hidden words</h1>', /answers with something that is no JSON/],
    ['other JSON', '{"hidden words": ["hidden words"]}', /its answer is JSON, but not a sweep/],
    ['a sweep of elsewhere', '{"point": "hidden words"}', /its answer is JSON, but not a sweep/],
  ])('that answers with %s fails in words that never quote it', async (_, body, message) => {
    const probe = await probeAt(await serve((_, response) => response.end(body)));
    const result = await read(probe);
    expect(result).toMatchObject({
      outcome: 'failed',
      code: 'instrument',
      message: expect.stringMatching(message),
    });
    expect(JSON.stringify(result)).not.toContain('hidden words');
  });

  test('that refuses is told by its status, and neither body nor secret is', async () => {
    const url = await serve((_, response) => response.writeHead(401).end('hidden words'));
    const access = { by: 'headers', names: ['Authorization'] };
    const result = await read(await probeAt(url, { access }, { Authorization: TOKEN }));
    expect(result).toMatchObject({
      outcome: 'failed',
      message: expect.stringMatching(/answers 401, so it does not let this reader in/),
    });
    expect(JSON.stringify(result)).not.toMatch(/hidden words|Bearer/);
  });

  test('on the server itself is not asked unless whoever runs it allows that', async () => {
    let asked = 0;
    const url = await serve((_, response) => {
      asked++;
      response.end(JSON.stringify(SWEEP));
    });
    expect(await read(await probeAt(url), false)).toMatchObject({
      outcome: 'failed',
      code: 'address',
      message: expect.stringMatching(/^127\.0\.0\.1 is this server itself/),
    });
    expect(asked).toBe(0);
  });

  test.each([
    'http://[::1]/',
    'http://[::ffff:7f00:1]/',
    'http://2130706433/',
    'http://169.254.169.254/latest',
  ])('is not asked at %s, however the address is written', async (url) => {
    expect(await read(await probeAt(url), false)).toMatchObject({ outcome: 'failed', code: 'address' });
  });

  test('that sends on to another host is not followed', async () => {
    const url = await serve((_, response) =>
      response.writeHead(302, { location: 'http://169.254.169.254/latest' }).end(),
    );
    expect(await read(await probeAt(url))).toMatchObject({
      outcome: 'failed',
      message: expect.stringMatching(/sends on to 169\.254\.169\.254, which is not followed/),
    });
  });
});

test('each redirect is held against the addresses that are kept away, since a name may lead elsewhere by then', async () => {
  const paths: (string | undefined)[] = [];
  const url = await serve((request, response) => {
    paths.push(request.url);
    response.writeHead(302, { location: '/next' }).end();
  });
  const asked: string[] = [];
  const driver = httpKind.createDriver({
    settings: HttpSettingsSchema.parse({ url: `${url}/first`, format: { is: 'contract' } }),
    secrets: {},
    point: 'handoff',
    timeZone: 'America/Chicago',
    requireAllowed: async (host) => {
      asked.push(host);
      if (asked.length === 2) throw new ProbeError('refused', `${host} is kept away`, 'give another');
    },
    now: Date.now,
    note: () => {},
  });
  await expect(driver.read(new AbortController().signal)).rejects.toMatchObject({ kind: 'refused' });
  expect(asked).toEqual(['127.0.0.1', '127.0.0.1']);
  expect(paths).toEqual(['/first']);
});
