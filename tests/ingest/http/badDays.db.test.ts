import fc from 'fast-check';
import { pino } from 'pino';
import { beforeAll, expect, test } from 'vitest';
import { createIngestApp } from '../../../ingest/http/ingestApp.ts';
import { issueSiteKey } from '../../../ingest/store/siteKeys.ts';
import { aSweep } from '../../support/contractSweep.ts';
import { hostileValue } from '../../support/hostile.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const NOW = Date.parse('2026-03-02T00:00:00Z');
let app: ReturnType<typeof createIngestApp>;
let key: string;

beforeAll(async () => {
  const { db, pool } = database;
  app = createIngestApp({
    db,
    pool,
    now: () => NOW,
    log: pino({ level: 'silent' }),
    rate: { burst: 1e9, perSecond: 1e9 },
  });
  const { site_id } = await db
    .insertInto('site')
    .values({ name: 'Alder Court', time_zone: 'America/Chicago', outlets: 120 })
    .returning('site_id')
    .executeTakeFirstOrThrow();
  await db.insertInto('point').values({ site_id, name: 'handoff', kind: 'handoff' }).execute();
  key = (await issueSiteKey(db, { siteId: site_id, label: 'test', createdBy: 'test' })).key;
});

function post(body: string | Buffer, headers: Record<string, string> = {}) {
  return app.request('/ingest/sweeps', {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, ...headers },
    body: body as BodyInit,
  });
}

test('between hostile neighbours every good sweep is stored, and nothing answers 500', async () => {
  let serial = 0;
  const good = () => aSweep({ instrument: `good-${serial++}` });
  const hostileSweep = fc.oneof(
    hostileValue,
    fc
      .tuple(fc.constantFrom(...Object.keys(aSweep())), hostileValue)
      .map(([field, value]) => aSweep({ [field]: value })),
  );

  await fc.assert(
    fc.asyncProperty(fc.array(hostileSweep, { maxLength: 20 }), async (neighbours) => {
      const sweeps = [good(), ...neighbours, good()];
      const response = await post(JSON.stringify({ sweeps }));

      expect(response.status).toBe(200);
      const { accepted, duplicates, rejected } = await response.json();
      expect(accepted + duplicates + rejected.length).toBe(sweeps.length);
      expect(accepted).toBeGreaterThanOrEqual(2);
      const refused = rejected.map((r: { index: number }) => r.index);
      expect(refused).not.toContain(0);
      expect(refused).not.toContain(sweeps.length - 1);
    }),
    { numRuns: 300 },
  );
  const { count } = await database.db
    .selectFrom('sweep')
    .select((e) => e.fn.countAll<number>().as('count'))
    .where('instrument', 'like', 'good-%')
    .executeTakeFirstOrThrow();
  expect(count).toBeGreaterThanOrEqual(serial);
});

test('any bytes, any encoding and any key answer in the contract, never 500', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.uint8Array({ maxLength: 200 }),
      fc.constantFrom('gzip', 'zstd', 'identity', 'br', 'gzip, gzip', ''),
      fc.oneof(fc.constant(`Bearer ${''}`), fc.stringMatching(/^[ -~]{0,40}$/), fc.constant(null)),
      async (bytes, encoding, authorization) => {
        const headers: Record<string, string> = { 'content-encoding': encoding };
        if (authorization !== null) headers['authorization'] = authorization;
        const { status } = await post(Buffer.from(bytes), headers);
        expect([200, 400, 401, 413, 415]).toContain(status);
      },
    ),
    { numRuns: 1_000 },
  );
});
