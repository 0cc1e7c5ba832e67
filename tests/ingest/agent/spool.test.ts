import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { lockSpool } from '../../../ingest/agent/spool/lock.ts';
import { openMemoryDatabase, openSpoolDatabase } from '../../../ingest/agent/spool/openSpoolDatabase.ts';
import { createSpool, type Spool } from '../../../ingest/agent/spool/spool.ts';
import { readingAt } from './readings.ts';

const NOON = Date.parse('2026-03-01T12:00:00Z');
const HOUR = 3_600_000;
const MOST = [1_000, 1e9] as const;

let lines: string[];
beforeEach(() => {
  lines = [];
});
const spoolOf = (options: { limitBytes?: number; boot?: string } = {}, database = openMemoryDatabase()) =>
  createSpool({ database, limitBytes: 1e9, boot: 'this boot', say: (line) => lines.push(line), ...options });
const timesIn = (spool: Spool) => spool.nextBatch(...MOST).map(({ sweep }) => sweep.at);
const iso = (ms: number) => new Date(ms).toISOString();

test('sweeps come out as the contract has them, oldest first, until they are settled', () => {
  const spool = spoolOf();
  spool.add('handoff', [readingAt(NOON), readingAt(NOON + 1)]);
  const [first, second] = spool.nextBatch(...MOST);
  expect(first!.sweep).toEqual({
    point: 'handoff',
    at: '2026-03-01T12:00:00.000Z',
    instrument: 'probe-7',
    freq_mhz: [57, 63],
    level_dbmv: [20.1, null],
  });
  expect(spool.nextBatch(1, 1e9)).toHaveLength(1);
  expect(spool.nextBatch(1_000, 1)).toHaveLength(1);

  spool.settle(
    { stored: [first!.id], rejected: [{ id: second!.id, path: 'point', reason: 'unknown' }] },
    NOON,
  );
  expect(spool.counts()).toEqual({ waiting: 0, waitingBytes: 0, oldestAtMs: null, refused: 1 });
  expect(spool.returnRefused()).toBe(1);
  expect(timesIn(spool)).toEqual([iso(NOON + 1)]);
});

test('the same reading twice is one; other numbers under its identity are told and the first kept', () => {
  const spool = spoolOf();
  spool.add('handoff', [readingAt(NOON), readingAt(NOON)]);
  expect(lines).toEqual([]);
  spool.add('handoff', [readingAt(NOON, { levelDbmv: [1, 2] })]);
  expect(lines).toEqual([expect.stringContaining('has other numbers')]);
  expect(spool.nextBatch(...MOST)).toMatchObject([{ sweep: { level_dbmv: [20.1, null] } }]);
});

test('a sweep that the server fails on goes behind the others', () => {
  const spool = spoolOf();
  spool.add('handoff', [readingAt(NOON), readingAt(NOON + 1)]);
  spool.putBack(spool.nextBatch(...MOST)[0]!.id);
  expect(timesIn(spool)).toEqual([iso(NOON + 1), iso(NOON)]);
});

test('a full spool is thinned, and says of which point, how many and from when', () => {
  const spool = spoolOf({ limitBytes: 20_000 });
  for (let i = 0; i < 300; i++) spool.add('handoff', [readingAt(NOON + i * 900_000)]);
  expect(spool.counts().waitingBytes).toBeLessThanOrEqual(20_000);
  const thinned = spool.thinned();
  const dropped = thinned.reduce((sum, { sweeps }) => sum + sweeps, 0);
  expect(dropped + spool.counts().waiting).toBe(300);
  expect(thinned[0]).toMatchObject({ point: 'handoff', leftOver: expect.stringMatching(/one a|nothing/) });
  expect(lines[0]).toContain('the spool is full');
});

describe('when the clock is set', () => {
  const jump = { uptimeMs: 5_000, deltaMs: HOUR, wallMs: NOON + HOUR };

  test('times that it gave before are moved, and no others; the first time is kept', () => {
    const database = openMemoryDatabase();
    const spool = spoolOf({}, database);
    spool.add('handoff', [readingAt(NOON, {}, 1_000), readingAt(NOON + HOUR + 5, {}, 5_001)]);
    spool.add('attic', [readingAt(NOON, {}, null)]);
    expect(spool.correctTimes(jump)).toBe(1);
    expect(database.prepare('select point, at_ms, original_at_ms from sweep order by id').all()).toEqual([
      { point: 'handoff', at_ms: NOON + HOUR, original_at_ms: NOON },
      { point: 'handoff', at_ms: NOON + HOUR + 5, original_at_ms: null },
      { point: 'attic', at_ms: NOON, original_at_ms: null },
    ]);
  });

  test('there and back again leaves the first times', () => {
    const spool = spoolOf();
    spool.add('handoff', [readingAt(NOON, {}, 1_000)]);
    spool.correctTimes(jump);
    spool.correctTimes({ uptimeMs: 9_000, deltaMs: -HOUR, wallMs: NOON });
    expect(timesIn(spool)).toEqual([iso(NOON)]);
  });

  test('sweeps an hour apart that move by an hour do not fall on one another', () => {
    for (const deltaMs of [HOUR, -HOUR]) {
      const spool = spoolOf();
      const readings = [0, 1, 2, 3].map((i) => readingAt(NOON + i * HOUR, {}, i));
      spool.add('handoff', readings);
      expect(spool.correctTimes({ ...jump, deltaMs })).toBe(4);
      expect(timesIn(spool)).toEqual([0, 1, 2, 3].map((i) => iso(NOON + i * HOUR + deltaMs)));
    }
  });

  test('a sweep that falls on one taken since keeps its own place, a millisecond on', () => {
    const spool = spoolOf();
    spool.add('handoff', [readingAt(NOON, {}, 1_000), readingAt(NOON + HOUR, { levelDbmv: [1, 2] }, 6_000)]);
    spool.correctTimes(jump);
    expect(timesIn(spool)).toEqual([iso(NOON + HOUR + 1), iso(NOON + HOUR)]);
  });

  test('a sweep that the server may have keeps its time until that is known', () => {
    const spool = spoolOf();
    spool.add('handoff', [readingAt(NOON, {}, 1_000)]);
    const { id } = spool.nextBatch(...MOST)[0]!;
    spool.markTried([id]);
    expect(spool.correctTimes(jump)).toBe(0);
    expect(timesIn(spool)).toEqual([iso(NOON)]);
    spool.markUntried([id]);
    expect(timesIn(spool)).toEqual([iso(NOON + HOUR)]);
  });

  test('what was rejected for its time is moved and tried again', () => {
    const spool = spoolOf();
    const rejected = { path: 'sweeps[0].at', reason: 'lies 800 days back' };
    spool.add('handoff', [readingAt(NOON, {}, 1_000)]);
    spool.settle({ stored: [], rejected: [{ id: 1, ...rejected }] }, NOON);
    expect(spool.counts()).toMatchObject({ waiting: 0, refused: 1 });
    spool.correctTimes(jump);
    expect(timesIn(spool)).toEqual([iso(NOON + HOUR)]);

    // Moved while the server had it in hand.
    spool.markTried([1]);
    spool.correctTimes({ ...jump, uptimeMs: 8_000 });
    spool.settle({ stored: [], rejected: [{ id: 1, ...rejected }] }, NOON);
    expect(timesIn(spool)).toEqual([iso(NOON + 2 * HOUR)]);
  });

  test('a reading that was under way is moved as it comes in', () => {
    const spool = spoolOf();
    spool.correctTimes(jump);
    spool.add('handoff', [readingAt(NOON, {}, 4_000)]);
    expect(timesIn(spool)).toEqual([iso(NOON + HOUR)]);
  });

  test('what another run of the machine left is not touched', () => {
    const database = openMemoryDatabase();
    spoolOf({ boot: 'the boot before' }, database).add('handoff', [readingAt(NOON, {}, 1_000)]);
    expect(spoolOf({}, database).correctTimes(jump)).toBe(0);
  });
});

describe('on disk', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(path.join(tmpdir(), 'levelkeep-spool-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  test('what was added is there when it is opened again, and the anchor of this boot with it', () => {
    const first = openSpoolDatabase(folder, () => {});
    const spool = spoolOf({}, first);
    spool.add('handoff', [readingAt(NOON)]);
    spool.setAnchor({ wallMs: NOON, uptimeMs: 7 });
    first.close();
    const again = openSpoolDatabase(folder, () => {});
    expect(timesIn(spoolOf({}, again))).toEqual([iso(NOON)]);
    expect(spoolOf({}, again).anchor()).toEqual({ wallMs: NOON, uptimeMs: 7 });
    expect(spoolOf({ boot: 'another' }, again).anchor()).toBe(null);
    expect(again.prepare('pragma synchronous').get()).toEqual({ synchronous: 2 });
    again.close();
  });

  test('a file that is no database is put aside and told', () => {
    writeFileSync(path.join(folder, 'spool.db'), 'nonsense '.repeat(1_000));
    const told: string[] = [];
    const database = openSpoolDatabase(folder, (line) => told.push(line));
    expect(told).toEqual([expect.stringContaining('put aside')]);
    expect(spoolOf({}, database).counts().waiting).toBe(0);
    database.close();
  });

  test('only one agent can have a spool', () => {
    expect(lockSpool(folder)).toBe(true);
    expect(lockSpool(folder)).toBe(false);
  });
});
