import type { DatabaseSync } from 'node:sqlite';
import { beforeEach, expect, test } from 'vitest';
import { createSender, outcomeOf } from '../../../ingest/agent/sender.ts';
import { openMemoryDatabase } from '../../../ingest/agent/spool/openSpoolDatabase.ts';
import { createSpool } from '../../../ingest/agent/spool/spool.ts';
import type { ContractSweep } from '../../../ingest/probe/contractSweep.ts';
import { ProbeError } from '../../../ingest/probe/probeError.ts';
import type { IngestAnswer } from '../../../ingest/probe/sendSweeps.ts';
import { backOffMs } from '../../../ingest/schedule/backOff.ts';
import { readingAt } from './readings.ts';

const NOON = Date.parse('2026-03-01T12:00:00Z');
const never = new AbortController().signal;
const stored = (sweeps: readonly ContractSweep[]): IngestAnswer => ({
  accepted: sweeps.length,
  duplicates: 0,
  rejected: [],
});
const status = (code: number, retryAfterMs: number | null = null) =>
  new ProbeError(code >= 500 || code === 429 ? 'unavailable' : 'refused', `status ${code}`, 'wait', {
    status: code,
    retryAfterMs,
  });

let lines: string[];
let database: DatabaseSync;
beforeEach(() => {
  lines = [];
  database = openMemoryDatabase();
});

/** A sender of `sweeps` sweeps through a server that does as `answer` says. */
function setUp(sweeps: number, answer: (sweeps: readonly ContractSweep[]) => IngestAnswer) {
  const spool = createSpool({ database, limitBytes: 1e9, boot: 'boot', say: () => {} });
  spool.add(
    'handoff',
    Array.from({ length: sweeps }, (_, i) => readingAt(NOON + i)),
  );
  const sent: number[] = [];
  const sender = createSender({
    spools: [spool],
    send: async (batch) => {
      sent.push(batch.length);
      return answer(batch);
    },
    clock: { read: () => ({ wallMs: NOON, uptimeMs: 0 }) },
    retry: { firstMs: 1_000, mostMs: 8_000, refusedMs: 60_000 },
    random: () => 0,
    say: (line) => lines.push(line),
  });
  return {
    spool,
    sender,
    sent,
    tried: () => database.prepare('select sum(is_tried) as n from sweep').get()!['n'],
  };
}
const fail = (error: Error) => () => {
  throw error;
};

test('batches go out until nothing waits', async () => {
  const { spool, sender, sent } = setUp(450, stored);
  expect([
    await sender.sendBatch(never),
    await sender.sendBatch(never),
    await sender.sendBatch(never),
  ]).toEqual([0, 0, 0]);
  expect(await sender.sendBatch(never)).toBe(null);
  expect(sent).toEqual([200, 200, 50]);
  expect(spool.counts().waiting).toBe(0);
});

test('a rejected sweep is kept aside with its reason, its neighbours leave', async () => {
  const { spool, sender } = setUp(3, () => ({
    accepted: 1,
    duplicates: 1,
    rejected: [{ index: 1, path: 'sweeps[1].point', reason: 'no such point' }],
  }));
  await sender.sendBatch(never);
  expect(spool.counts()).toMatchObject({ waiting: 0, refused: 1 });
  expect(lines).toContain(
    'the server rejected the sweep of handoff at 2026-03-01T12:00:00.001Z: sweeps[1].point: no such point',
  );
});

test.each([
  ['too few', { accepted: 1, duplicates: 0, rejected: [] }],
  ['too many', { accepted: 3, duplicates: 0, rejected: [] }],
  ['one that was not sent', { accepted: 1, duplicates: 0, rejected: [{ index: 7, path: '', reason: '' }] }],
  [
    'one twice',
    { accepted: 0, duplicates: 0, rejected: [1, 1].map((index) => ({ index, path: '', reason: '' })) },
  ],
])('an answer that tells of %s lets nothing go', async (_, answer) => {
  const { spool, sender } = setUp(2, () => answer);
  expect(await sender.sendBatch(never)).toBeGreaterThan(0);
  expect(spool.counts()).toMatchObject({ waiting: 2, refused: 0 });
  expect(() => outcomeOf(spool.nextBatch(10, 1e9), answer)).toThrow('the server’s answer tells of');
});

test('pauses double up to the longest, and a server’s wish comes first', async () => {
  const { sender } = setUp(1, fail(status(503)));
  const pauses: (number | null)[] = [];
  for (let i = 0; i < 5; i++) pauses.push(await sender.sendBatch(never));
  expect(pauses).toEqual([500, 1_000, 2_000, 4_000, 4_000]);

  const wished = setUp(1, fail(status(429, 30_000))).sender;
  expect(await wished.sendBatch(never)).toBeGreaterThanOrEqual(30_000);
  expect(backOffMs(1, { firstMs: 1_000, mostMs: 8_000 }, 1e12, () => 0)).toBeLessThan(3_700_000);
});

test.each([401, 403, 404])('after status %i everything is kept and tried again slowly', async (code) => {
  const { spool, sender, tried } = setUp(2, fail(status(code)));
  expect(await sender.sendBatch(never)).toBe(54_000);
  expect(spool.counts()).toMatchObject({ waiting: 2, refused: 0 });
  expect(tried()).toBe(0);
});

test('a sweep that the server may have stored stays marked; one that it can’t have is free', async () => {
  const reset = new ProbeError('unavailable', 'reset', 'wait', {
    cause: new TypeError('fetch failed', { cause: Object.assign(new Error(), { code: 'ECONNRESET' }) }),
  });
  const gone = new ProbeError('unavailable', 'gone', 'wait', {
    cause: new TypeError('fetch failed', { cause: Object.assign(new Error(), { code: 'ECONNREFUSED' }) }),
  });
  for (const [error, marked] of [
    [reset, 1],
    [status(503), 1],
    [status(429), 0],
    [gone, 0],
  ] as const) {
    database = openMemoryDatabase();
    const { sender, tried } = setUp(1, fail(error));
    await sender.sendBatch(never);
    expect(tried(), error.message).toBe(marked);
  }
});

test('one sweep that the server always fails on does not hold up the others', async () => {
  const poison = new Date(NOON + 3).toISOString();
  const { spool, sender } = setUp(10, (batch) => {
    if (batch.some(({ at }) => at === poison)) throw status(500);
    return stored(batch);
  });
  for (let i = 0; i < 20 && spool.counts().waiting > 1; i++) await sender.sendBatch(never);
  expect(spool.nextBatch(10, 1e9).map(({ sweep }) => sweep.at)).toEqual([poison]);
});

test('a batch that is too large is halved; a single sweep that is too large is set aside', async () => {
  const { spool, sender, sent } = setUp(8, (batch) => {
    if (batch.length > 2 || batch[0]!.at.endsWith('.004Z')) throw status(413);
    return stored(batch);
  });
  for (let pause: number | null = 0; pause !== null; ) pause = await sender.sendBatch(never);
  expect(sent.slice(0, 3)).toEqual([8, 4, 2]);
  expect(spool.counts()).toMatchObject({ waiting: 0, refused: 1 });
});

test('a disk that takes nothing ends no sender: what is in the spool stays, the pause is kept', async () => {
  const { spool } = setUp(1, stored);
  const full = Object.assign(new Error('database or disk is full'), { errcode: 13 });
  const stuck = {
    ...spool,
    markTried: () => {},
    markUntried: fail(full),
    putBack: fail(full),
    settle: fail(full),
  };
  for (const answer of [fail(status(429)), fail(status(500)), fail(status(413)), stored]) {
    const pausing = createSender({
      spools: [stuck],
      send: async (sweeps) => answer(sweeps),
      clock: { read: () => ({ wallMs: NOON, uptimeMs: 0 }) },
      retry: { firstMs: 1_000, mostMs: 8_000, refusedMs: 60_000 },
      random: () => 0,
      say: () => {},
    });
    expect(await pausing.sendBatch(never)).toBeGreaterThan(0);
  }
  expect(spool.counts().waiting).toBe(1);
});
