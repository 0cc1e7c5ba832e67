import { once } from 'node:events';
import { type AddressInfo, createServer } from 'node:net';
import { gzipSync, zstdCompressSync } from 'node:zlib';
import { pino } from 'pino';
import { beforeAll, beforeEach, expect, test } from 'vitest';
import { INGEST_LIMITS } from '../../../ingest/contract/limits.ts';
import { createIngestApp } from '../../../ingest/http/ingestApp.ts';
import { createDatabase, createPool } from '../../../ingest/store/database.ts';
import { readSweeps } from '../../../ingest/store/readSweeps.ts';
import { issueSiteKey, revokeSiteKey } from '../../../ingest/store/siteKeys.ts';
import { aSweep } from '../../support/contractSweep.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const NOW = Date.parse('2026-03-02T00:00:00Z');
const log = pino({ level: 'silent' });
let app: ReturnType<typeof createIngestApp>;
let siteId: number;
let pointId: number;
let key: string;

beforeAll(() => {
  app = createIngestApp({ db: database.db, pool: database.pool, now: () => NOW, log });
});

beforeEach(async () => {
  const site = await database.db
    .insertInto('site')
    .values({ name: 'Alder Court', time_zone: 'America/Chicago', outlets: 120 })
    .returning('site_id')
    .executeTakeFirstOrThrow();
  siteId = site.site_id;
  const point = await database.db
    .insertInto('point')
    .values({ site_id: siteId, name: 'handoff', kind: 'handoff' })
    .returning('point_id')
    .executeTakeFirstOrThrow();
  pointId = point.point_id;
  key = (await issueSiteKey(database.db, { siteId, label: 'roof box', createdBy: 'test' })).key;
});

function post(body: unknown, headers: Record<string, string> = {}, to = app) {
  const bytes = body instanceof Uint8Array || typeof body === 'string' ? body : JSON.stringify(body);
  return to.request('/ingest/sweeps', {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, ...headers },
    body: bytes as BodyInit,
  });
}

function streamed(body: ReadableStream, headers: Record<string, string>): Request {
  const init = { method: 'POST', headers, body, duplex: 'half' };
  return new Request('http://levelkeep.test/ingest/sweeps', init);
}

async function answer(body: unknown, headers: Record<string, string> = {}) {
  const response = await post(body, headers);
  expect(response.status).toBe(200);
  return response.json();
}

function stored() {
  return readSweeps(database.db, siteId, pointId, 0, NOW + 1e9);
}

test('a sweep is stored as it was sent', async () => {
  expect(await answer({ sweeps: [aSweep()] })).toEqual({ accepted: 1, duplicates: 0, rejected: [] });

  expect(await stored()).toEqual([
    {
      atMs: Date.parse('2026-03-01T12:00:00Z'),
      instrument: 'probe-7',
      ambientC: 21.5,
      freqMhz: [57, 63, 69],
      levelDbmv: [20.1, 19.8, null],
      merDb: [41.2, null, null],
      cnrDb: [null, 46, null],
      berPre: null,
      berPost: null,
      lostMhz: [69],
    },
  ]);
});

test('carriers may come in any order and are stored in rising frequency', async () => {
  await answer({
    sweeps: [
      aSweep({
        freq_mhz: [69, 57, 63],
        level_dbmv: [null, 20.1, 19.8],
        mer_db: [null, 41.2, null],
        cnr_db: null,
      }),
    ],
  });

  expect((await stored())[0]).toMatchObject({
    freqMhz: [57, 63, 69],
    levelDbmv: [20.1, 19.8, null],
    merDb: [41.2, null, null],
  });
});

test('sending again is safe', async () => {
  await answer({ sweeps: [aSweep()] });

  expect(await answer({ sweeps: [aSweep()] })).toEqual({ accepted: 0, duplicates: 1, rejected: [] });
  expect(await stored()).toHaveLength(1);
});

test('the same identity with other numbers is a conflict and the first is kept', async () => {
  await answer({ sweeps: [aSweep()] });
  const second = await answer({
    sweeps: [aSweep({ level_dbmv: [3, 3, null] }), aSweep({ at: '2026-03-01T12:15:00Z' })],
  });

  expect(second).toMatchObject({ accepted: 1, duplicates: 0, rejected: [{ index: 0, path: 'sweeps[0]' }] });
  expect((await stored())[0]!.levelDbmv[0]).toBe(20.1);
});

test('within one request the first of an identity is kept', async () => {
  const body = { sweeps: [aSweep(), aSweep(), aSweep({ ambient_c: 30 })] };

  expect(await answer(body)).toMatchObject({ accepted: 1, duplicates: 1, rejected: [{ index: 2 }] });
});

test('the same sweeps sent by twenty senders at once are accepted exactly once', async () => {
  const body = { sweeps: Array.from({ length: 20 }, (_, i) => aSweep({ instrument: `probe-${i}` })) };
  const answers = await Promise.all(Array.from({ length: 20 }, () => answer(body)));

  expect(answers.reduce((sum, a) => sum + a.accepted, 0)).toBe(20);
  expect(answers.reduce((sum, a) => sum + a.duplicates, 0)).toBe(380);
  expect(await stored()).toHaveLength(20);
});

test('a bad sweep never blocks its neighbours and its reason is kept for people to see', async () => {
  const result = await answer({ sweeps: [aSweep(), aSweep({ point: 'attic' }), aSweep({ at: 'noon' })] });

  expect(result).toMatchObject({
    accepted: 1,
    rejected: [
      { index: 1, path: 'sweeps[1].point', reason: expect.stringContaining('its points are handoff') },
      { index: 2, path: 'sweeps[2].at', reason: expect.stringContaining('2026-03-01T12:00:00Z') },
    ],
  });
  const kept = await database.db
    .selectFrom('rejected_sweep')
    .selectAll()
    .where('site_id', '=', siteId)
    .execute();
  expect(kept.map((row) => row.path)).toEqual(['sweeps[1].point', 'sweeps[2].at']);
});

test('new sweeps are announced to the engine from the earliest on, duplicates are not', async () => {
  await answer({ sweeps: [aSweep({ at: '2026-03-01T13:00:00Z' }), aSweep()] });
  await answer({ sweeps: [aSweep()] });

  const arrivals = await database.db
    .selectFrom('arrival')
    .selectAll()
    .where('site_id', '=', siteId)
    .execute();
  expect(arrivals.map((row) => row.first_at.toISOString())).toEqual(['2026-03-01T12:00:00.000Z']);
});

test('gzip and zstd are understood, other encodings are refused', async () => {
  const bytes = Buffer.from(JSON.stringify({ sweeps: [aSweep()] }));

  expect(await answer(gzipSync(bytes), { 'content-encoding': 'gzip' })).toMatchObject({ accepted: 1 });
  expect(await answer(zstdCompressSync(bytes), { 'content-encoding': 'zstd' })).toMatchObject({
    duplicates: 1,
  });
  expect((await post(bytes, { 'content-encoding': 'br' })).status).toBe(415);
});

test('a small body that unfolds without end is refused with 413', async () => {
  const bomb = Buffer.alloc(INGEST_LIMITS.maxDecodedBytes + 1, 0x20);

  expect((await post(gzipSync(bomb), { 'content-encoding': 'gzip' })).status).toBe(413);
  expect((await post(zstdCompressSync(bomb), { 'content-encoding': 'zstd' })).status).toBe(413);
});

test('a body over the size and a request over the count are refused with 413', async () => {
  expect((await post(Buffer.alloc(INGEST_LIMITS.maxBodyBytes + 1, 0x20))).status).toBe(413);
  expect((await post({ sweeps: Array(INGEST_LIMITS.maxSweeps + 1).fill(0) })).status).toBe(413);
});

test('a body that comes in pieces without a length is read no further than the limit', async () => {
  let pieces = 0;
  const endless = new ReadableStream({
    pull: (controller) => {
      pieces++;
      controller.enqueue(new Uint8Array(1024 * 1024));
    },
  });
  const response = await app.request(streamed(endless, { authorization: `Bearer ${key}` }));

  expect(response.status).toBe(413);
  expect(pieces).toBeLessThan(12);
});

test('a body that breaks off is refused with 400, and is no sign of a missing database', async () => {
  const reset = Object.assign(new Error('aborted'), { code: 'ECONNRESET' });
  const broken = new ReadableStream({ pull: (controller) => controller.error(reset) });
  const response = await app.request(streamed(broken, { authorization: `Bearer ${key}` }));

  expect(response.status).toBe(400);
});

test('without a key the body is not read', async () => {
  const body = new ReadableStream({ pull: () => expect.unreachable() }, { highWaterMark: 0 });
  const response = await app.request(streamed(body, {}));

  expect(response.status).toBe(401);
});

test.each([
  ['no JSON', '{"sweeps": ['],
  ['no object', '[]'],
  ['no sweeps', '{}'],
  ['no UTF-8', Buffer.from([0x22, 0xff, 0x22])],
])('a body that is %s is refused with 400 and says what to send', async (_, body) => {
  const response = await post(body);

  expect(response.status).toBe(400);
  expect((await response.json()).error.action).not.toBe('');
});

test('truncated gzip is refused with 400', async () => {
  const whole = gzipSync(JSON.stringify({ sweeps: [aSweep()] }));

  expect((await post(whole.subarray(0, whole.length - 9), { 'content-encoding': 'gzip' })).status).toBe(400);
});

test('keys: none and unknown answer 401, revoked 403, and a key serves its own site alone', async () => {
  const other = await issueSiteKey(database.db, { siteId, label: 'spare', createdBy: 'test' });
  await revokeSiteKey(database.db, siteId, other.keyId, NOW);
  const forged = key.replace(/^levelkeep_\d+/, `levelkeep_${siteId - 1}`);

  const status = async (authorization: string) => (await post({ sweeps: [] }, { authorization })).status;
  expect(await status('')).toBe(401);
  expect(await status('Bearer nonsense')).toBe(401);
  expect(await status(`Bearer ${forged}`)).toBe(401);
  expect(await status(`Bearer ${other.key}`)).toBe(403);
  expect(await status(`Bearer ${key}`)).toBe(200);
});

test('only the hash of a key is stored, and its last use is noted', async () => {
  await answer({ sweeps: [] });

  const row = await database.db
    .selectFrom('site_key')
    .selectAll()
    .where('site_id', '=', siteId)
    .executeTakeFirstOrThrow();
  const secret = key.split('_').slice(2).join('_');
  expect(Buffer.from(secret, 'base64url')).toHaveLength(32);
  expect(JSON.stringify(row)).not.toContain(secret);
  expect(row.last_used_at?.getTime()).toBe(NOW);
});

test('a sender in a hurry is told to wait', async () => {
  const hurried = createIngestApp({
    db: database.db,
    pool: database.pool,
    now: () => NOW,
    log,
    rate: { burst: 2, perSecond: 0.1 },
  });
  const statuses = [];
  for (let i = 0; i < 3; i++) statuses.push((await post({ sweeps: [] }, {}, hurried)).status);

  expect(statuses).toEqual([200, 200, 429]);
  expect((await post({ sweeps: [] }, {}, hurried)).headers.get('retry-after')).toBe('10');
});

test('while the database is away the answer is 503 and when to come back', async () => {
  const pool = createPool('postgres://nobody:x@127.0.0.1:1/none');
  const cutOff = createIngestApp({ db: createDatabase(pool), pool, now: () => NOW, log });
  const response = await post({ sweeps: [aSweep()] }, {}, cutOff);

  expect(response.status).toBe(503);
  expect(Number(response.headers.get('retry-after'))).toBeGreaterThan(0);
});

test('a database that neither answers nor refuses is away, too', async () => {
  const silent = createServer().listen(0, '127.0.0.1');
  await once(silent, 'listening');
  const { port } = silent.address() as AddressInfo;
  const pool = createPool(`postgres://nobody:x@127.0.0.1:${port}/none`, { connectTimeoutMs: 200 });
  const cutOff = createIngestApp({ db: createDatabase(pool), pool, now: () => NOW, log });

  expect((await post({ sweeps: [aSweep()] }, {}, cutOff)).status).toBe(503);
  silent.close();
});

test('readings finer than a hundredth are rounded, so that sending them again is the same sweep', async () => {
  await answer({ sweeps: [aSweep({ level_dbmv: [20.104, -0.001, null] })] });

  expect((await stored())[0]!.levelDbmv).toEqual([20.1, 0, null]);
  expect(await answer({ sweeps: [aSweep({ level_dbmv: [20.1, 0, null] })] })).toMatchObject({
    duplicates: 1,
  });
});
